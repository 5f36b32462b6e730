"""The check `mode-never-cancelled`."""

from collections import defaultdict
from collections.abc import Iterator, Sequence
from itertools import pairwise
from typing import NamedTuple

from redstave.analysis import Analysis
from redstave.analysis.bowed import Bowed
from redstave.analysis.modes import Mode, bow_of, forgotten_arco, modes, mute_of, place_of
from redstave.analysis.page import Chord, spot
from redstave.checks.needs import bowed
from redstave.checks.registry import Limits, Setting, check
from redstave.model.finding import Claim, Evidence, Finding, Spot

WORDS = {
    "pizz": "pizz.",
    "mute": "con sord.",
    "sul-ponticello": "sul ponticello",
    "sul-tasto": "sul tasto",
    "col-legno": "col legno",
}
DOUBTS = {
    "pizz": "the notes are slurred or bowed",
    "mute": "the other strings have taken their mutes off",
}


class Left(NamedTuple):
    """A mode that seems to be over, where its player would first wonder, and how often."""

    mode: str
    signs: int
    spot: Spot


@check(
    "mode-never-cancelled",
    Claim.QUESTION,
    sources=("common-practice",),
    settings=(
        Setting(
            "least_signs",
            2.0,
            "signs",
            "so many slurs, bow strokes or long ties under pizz. contradict it",
            "common-practice",
        ),
        Setting(
            "tie_seconds",
            2.0,
            "s",
            "a plucked note is contradicted when it is tied for longer than this",
            "common-practice",
        ),
        Setting(
            "rest_bars",
            4.0,
            "bars",
            "after a rest this long a player asks whether col legno, sul pont. or sul tasto holds",
            "common-practice",
        ),
        Setting(
            "long_bars",
            32.0,
            "bars",
            "and after having played that way for so long",
            "common-practice",
        ),
    ),
)
def mode_never_cancelled(analysis: Analysis, limits: Limits) -> Iterator[Finding]:
    """Find ways of playing that nobody has ended although they seem to be over.

    What it reports
        Parts that stand under pizz. and read slurs, bow signs, tremolo or long ties; parts that
        keep their mutes to the end when the other strings have taken theirs off; col legno, sul
        ponticello or sul tasto that goes on after a long rest, or for a very long time.

    Why it matters
        Players do what the last word told them. A forgotten arco is plucked for pages, and the full
        sound you wait for comes through mutes.

    How it is computed
        Each word is in force until another takes it back (arco, senza sord., ord.). Under pizz. the
        slurs over different notes, bow signs, tremolos of three strokes and long ties are counted;
        enough of them are a risk. A mute that is never taken off is asked about where at least half
        of the other strings that were muted have taken theirs off and this part plays on after the
        last of them. The other modes are asked about at the first entry after rest_bars of rest,
        or once long_bars have been played.

    Limits
        Under div. one half may pluck and the other bow: such places are left out. A word "trem."
        is not followed, since the strokes on the stems say it again. A mode that all strings keep
        to the end is taken as meant.

    Sources
        Common practice, no source.
    """
    parts = bowed(analysis)
    found: dict[str, list[Left]] = defaultdict(list)
    mutes = [_mutes(analysis, part) for part in parts]
    for at, part in enumerate(parts):
        muted = _muted(part, mutes[at], mutes[:at] + mutes[at + 1 :])
        elsewhere = _elsewhere(analysis, part, limits)
        for one in (*_plucked(analysis, part, limits), *muted, *elsewhere):
            found[one.mode].append(one)
    for mode, left in found.items():
        yield _finding(mode, left)


def _finding(mode: str, left: list[Left]) -> Finding:
    doubt = DOUBTS.get(mode, "nothing says whether it still holds")
    return Finding(
        "mode-never-cancelled",
        tuple(one.spot for one in left),
        (
            Evidence("parts left in it", len({one.spot.part for one in left}), "parts"),
            Evidence("signs against it", sum(one.signs for one in left), "signs"),
        ),
        (("word", WORDS[mode]), ("doubt", doubt)),
        Claim.RISK if mode == "pizz" else Claim.QUESTION,
    )


def _end(analysis: Analysis) -> int:
    last = analysis.score.bars[-1]
    return last.start + last.length


def _plucked(analysis: Analysis, part: Bowed, limits: Limits) -> Iterator[Left]:
    least, seconds = limits["least_signs"], limits["tie_seconds"]
    for one in forgotten_arco(part, analysis.tone_of, least, seconds):
        yield Left("pizz", len(one.signs), spot(part.part, one.signs))


def _mutes(analysis: Analysis, part: Bowed) -> list[Mode]:
    return list(modes(part.words, mute_of, _end(analysis)))


def _muted(part: Bowed, own: Sequence[Mode], others: Sequence[Sequence[Mode]]) -> Iterator[Left]:
    """Yield the mute a part keeps to the end when most of the muted others took theirs off."""
    muted = [ones[-1] for ones in others if ones]
    off = [mode.stop for mode in muted if mode.ended]
    if not own or own[-1].ended or not off or 2 * len(off) < len(muted):
        return
    after = [chord for chord in part.chords if chord.start >= max(off)]
    if after and own[-1].start < max(off):
        bar = [chord for chord in after if chord.head.bar == after[0].head.bar]
        yield Left("mute", len(off), spot(part.part, bar))


def _elsewhere(analysis: Analysis, part: Bowed, limits: Limits) -> Iterator[Left]:
    """Yield the places at which col legno and the places of the bow have held for too long."""
    end = _end(analysis)
    kept = (*modes(part.words, place_of, end), *modes(part.words, bow_of, end))
    for mode in kept:
        if mode.name == "pizz":
            continue
        told = {point.tick for point in part.words}
        under = [chord for chord in part.chords if mode.start <= chord.start < mode.stop]
        doubtful = _doubtful(analysis, under, told, limits)
        if doubtful is not None:
            yield Left(mode.name, 1, spot(part.part, [doubtful]))


def _doubtful(
    analysis: Analysis, under: Sequence[Chord], told: set[int], limits: Limits
) -> Chord | None:
    """Return the first chord at which a player would ask whether the mode still holds."""
    bars: set[int] = {chord.head.bar for chord in under[:1]}
    silent_from = under[0].stop if under else 0
    for before, chord in pairwise(under):
        bars.add(chord.head.bar)
        silent_from = max(silent_from, before.stop)
        bar = analysis.score.bars[chord.head.bar].length
        rested = chord.start - silent_from >= limits["rest_bars"] * bar
        if (rested and chord.start not in told) or len(bars) > limits["long_bars"]:
            return chord
    return None
