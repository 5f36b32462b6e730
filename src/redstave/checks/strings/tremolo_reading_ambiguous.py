"""The check `tremolo-reading-ambiguous`."""

from collections import defaultdict
from collections.abc import Iterator
from typing import NamedTuple

from redstave.analysis import Analysis
from redstave.analysis.bowed import Bowed
from redstave.analysis.division import Says, sayings
from redstave.analysis.fingers import hand_of, pair_mm
from redstave.analysis.page import Chord, spot, tick_of
from redstave.analysis.strings import strings_of
from redstave.checks.grouping import joined
from redstave.checks.needs import bowed, tempo_used
from redstave.checks.registry import Limits, Setting, check
from redstave.model.finding import Claim, Evidence, Finding, Spot

FLAGS = {"eighth": 1, "16th": 2, "32nd": 3, "64th": 4}
DEMISEMIQUAVER = 3  # flags and strokes of a note value that is not counted out (common practice)
DOUBTS = {
    "slow": "strokes of which one cannot tell whether they are counted",
    "quick": "counted strokes that are too quick to count",
    "wide": "a tremolo of the fingers too wide for one string",
}


class Doubt(NamedTuple):
    """A tremolo that can be read in two ways: its kind, a number, and where."""

    kind: str
    number: float
    spot: Spot


@check(
    "tremolo-reading-ambiguous",
    Claim.QUESTION,
    sources=("common-practice",),
    settings=(
        Setting(
            "slow_strokes",
            8.0,
            "strokes a second",
            "demisemiquavers slower than this can be counted out, and so are in doubt",
            "common-practice",
        ),
        Setting(
            "quick_strokes",
            16.0,
            "strokes a second",
            "quavers and semiquavers quicker than this cannot be counted out, and so are in doubt",
            "common-practice",
        ),
    ),
)
def tremolo_reading_ambiguous(analysis: Analysis, limits: Limits) -> Iterator[Finding]:
    """Ask about tremolos that can be read as counted or uncounted, or that no hand can finger.

    What it reports
        Strokes that make demisemiquavers at a slow tempo; strokes that make quavers or semiquavers
        too quick to count; tremolos between two notes that do not lie on one string.

    Why it matters
        Half a section counts the notes out while the other half shimmers. Between two strings a
        tremolo of the fingers turns into an undulation of the bow, which sounds quite different.

    How it is computed
        Strokes and flags of a note together give the value that is repeated, and with the tempo in
        use the strokes a second. Three are by custom not counted, fewer are. The first doubt arises
        where three would be slower than slow_strokes, the second where fewer would be quicker than
        quick_strokes. For a tremolo between two notes the fingers are set on one string in every
        way and held against what is comfortable for the hand; open strings need no finger.

    Limits
        A word that says it (trem., misurato) ends the doubt. Tremolos between chords, and between
        the halves of a divided stave, are left out.

    Sources
        Common practice, no source.
    """
    found: dict[str, list[Doubt]] = defaultdict(list)
    for part in bowed(analysis):
        for one in (*_strokes(analysis, part, limits), *_fingered(analysis, part)):
            found[one.kind].append(one)
    for kind, doubts in found.items():
        yield _finding(analysis, kind, doubts)


def _finding(analysis: Analysis, kind: str, doubts: list[Doubt]) -> Finding:
    numbers = [one.number for one in doubts]
    told: tuple[Evidence, ...] = (Evidence("widest span on one string", round(max(numbers)), "mm"),)
    if kind != "wide":
        number = min(numbers) if kind == "slow" else max(numbers)
        told = (Evidence("strokes a second", round(number, 1)), *tempo_used(analysis))
    return Finding(
        "tremolo-reading-ambiguous",
        joined(one.spot for one in doubts),
        (Evidence("tremolos", len(doubts), "tremolos"), *told),
        (("doubt", DOUBTS[kind]),),
    )


def _strokes(analysis: Analysis, part: Bowed, limits: Limits) -> Iterator[Doubt]:
    tempo = analysis.playing.tempo
    for chord in part.chords:
        strokes = part.strokes(chord)
        words = part.told(chord.start)
        if not strokes or words.tremolo or words.measured or words.bow or _between(part, chord):
            continue
        value = int(strokes) + FLAGS.get(chord.head.type, 0)
        number = tempo.tempo_at(chord.start) / 60 * 2**value
        if value == DEMISEMIQUAVER and number < limits["slow_strokes"]:
            yield Doubt("slow", number, spot(part.part, [chord]))
        elif value < DEMISEMIQUAVER and number > limits["quick_strokes"]:
            yield Doubt("quick", number, spot(part.part, [chord]))


def _between(part: Bowed, chord: Chord) -> bool:
    return part.signed(chord, "start", "stop")


def _fingered(analysis: Analysis, part: Bowed) -> Iterator[Doubt]:
    """Yield the tremolos between two notes that do not lie on one string within the hand."""
    hand, strings = hand_of(part.instrument), strings_of(part.instrument, analysis.book)
    if hand is None or strings is None:
        return
    said = sayings(analysis.score, part.part)
    by_note = {chord.head.id: chord for chord in part.chords if len(chord.notes) == 1}
    for span in part.part.spans_of("tremolo"):
        if span.start is None or span.stop is None:
            continue
        ends = [by_note.get(span.start.note), by_note.get(span.stop.note)]
        if said.at(tick_of(analysis.score, span.start)) is Says.DIVIDED:
            continue
        chords = [c for c in ends if c is not None and c.head.id in analysis.tone_of]
        if len(chords) == 2:
            one, other = (analysis.tone_of[chord.head.id].midi for chord in chords)
            width = pair_mm(one, other, strings, hand, 0)
            if hand.comfortable < width < float("inf"):
                yield Doubt("wide", width, spot(part.part, chords))
