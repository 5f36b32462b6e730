"""The check `uneven-level-in-choir`."""

from collections import Counter
from collections.abc import Iterable, Iterator
from typing import NamedTuple

from redstave.analysis import Analysis
from redstave.analysis.choirs import Choir, Voice, choirs
from redstave.analysis.page import in_words
from redstave.analysis.words import line_names
from redstave.checks.registry import CannotJudge, Limits, Setting, check
from redstave.model.finding import Claim, Evidence, Finding, Spot
from redstave.model.line import level_name
from redstave.model.score import Score

Key = tuple[str, float, tuple[tuple[int, float | None], ...]]


class Uneven(NamedTuple):
    """One bar of a choir whose levels differ: which voices stand out, and from what."""

    choir: Choir
    odd: tuple[Voice, ...]
    common: float

    @property
    def key(self) -> Key:
        """What must stay the same for another bar to show the same fault."""
        return (
            self.choir.family,
            self.common,
            tuple((voice.line, voice.level) for voice in self.odd),
        )


@check(
    "uneven-level-in-choir",
    Claim.RISK,
    sources=("common-practice",),
    settings=(
        Setting(
            "least_lines",
            3.0,
            "lines",
            "fewer lines in one rhythm are no choir",
            "common-practice",
        ),
        Setting(
            "least_attacks",
            4.0,
            "attacks",
            "the choir must stay together for at least so many attacks",
            "common-practice",
        ),
        Setting(
            "least_step",
            1.0,
            "levels",
            "levels closer than this are taken as equal (p to mp is 1)",
            "common-practice",
        ),
    ),
)
def uneven_level_in_choir(analysis: Analysis, limits: Limits) -> Iterator[Finding]:
    """Find chords in one rhythm whose players read different levels.

    What it reports
        Lines of one family that move in the same rhythm, of which a minority stands at another
        printed level than the rest.

    Why it matters
        In a chord of one colour the levels decide which note is heard. Each player sees only his
        own part and cannot know that his neighbour reads another level; the chord tilts, and
        nobody on stage can tell whether that is wanted.

    How it is computed
        Within each bar the lines of woodwind, brass or strings with the same attacks and lengths
        form a choir. Bars in which a member's level changes, is unknown or lies in a hairpin are
        left out. The level most members share is the common one; the others stand out. A line
        marked solo, espressivo or the like is no member, and neither is a louder line on top: it
        is taken for the tune.

    Limits
        A different level for one section may be a balance the writer wants: brass one level below
        woodwind is advice of the treatises, and is not compared here, but horns below trumpets
        would be reported. Signs of accent are not compared.

    Sources
        Common practice, no source.
    """
    if all(not line.instrument for line in analysis.playing.lines):
        raise CannotJudge("no instrument in this score is known")
    found = [uneven for choir in _members(analysis) if (uneven := _uneven(choir, limits))]
    same: dict[Key, list[list[Uneven]]] = {}
    for run in _runs(found):
        if sum(one.choir.attacks for one in run) >= limits["least_attacks"]:
            same.setdefault(run[0].key, []).append(run)
    for runs in same.values():
        yield _finding(analysis, runs)


def _members(analysis: Analysis) -> Iterator[Choir]:
    """Yield the choirs without the lines that the page marks as leading."""
    for choir in choirs(analysis.score, analysis.playing):
        bar = analysis.score.bars[choir.bar]
        leading = {
            lead.line
            for lead in analysis.leads
            if lead.start < bar.start + bar.length and lead.stop > bar.start
        }
        voices = tuple(voice for voice in choir.voices if voice.line not in leading)
        yield choir._replace(voices=voices)


def _uneven(choir: Choir, limits: Limits) -> Uneven | None:
    levels = Counter(voice.level for voice in choir.voices)
    if None in levels or len(choir.voices) < limits["least_lines"] or len(levels) < 2:
        return None
    common, count = levels.most_common(1)[0]
    if common is None or count * 2 <= len(choir.voices):
        return None
    odd = tuple(
        voice
        for voice in choir.voices
        if voice.level is not None and abs(voice.level - common) >= limits["least_step"]
    )
    return Uneven(choir, odd, common) if odd and not _is_tune(choir, odd, common) else None


def _is_tune(choir: Choir, odd: tuple[Voice, ...], common: float) -> bool:
    """Tell whether what stands out is louder and on top: then it is the tune of the choir."""
    louder = all(voice.level is not None and voice.level > common for voice in odd)
    rest = [voice.top for voice in choir.voices if voice not in odd]
    return louder and max(voice.top for voice in odd) > max(rest)


def _runs(found: Iterable[Uneven]) -> list[list[Uneven]]:
    """Gather bars of the same fault that follow each other."""
    runs: list[list[Uneven]] = []
    for one in found:
        run = next((r for r in runs if r[-1].key == one.key and _next(r[-1], one)), None)
        if run is None:
            runs.append([one])
        else:
            run.append(one)
    return runs


def _next(one: Uneven, two: Uneven) -> bool:
    return two.choir.bar == one.choir.bar + 1


def _finding(analysis: Analysis, runs: list[list[Uneven]]) -> Finding:
    lines, first = analysis.playing.lines, runs[0][0]
    odd = [voice.line for voice in first.odd]
    others = [voice.line for voice in first.choir.voices if voice.line not in odd]
    levels = dict.fromkeys(voice.level or 0.0 for voice in first.odd)
    told = in_words(
        f"{level_name(level)} for {name}"
        for level in levels
        for name in line_names(lines, [v.line for v in first.odd if v.level == level])
    )
    steps = [(voice.level or 0.0) - first.common for voice in first.odd]
    return Finding(
        "uneven-level-in-choir",
        tuple(place for run in runs for place in _spots(analysis, run)),
        (Evidence("step", max(steps, key=abs), "levels"),),
        (
            ("level", f"{told}, {level_name(first.common)} for the others"),
            ("others", in_words(line_names(lines, others))),
            ("odd", in_words(line_names(lines, odd))),
        ),
    )


def _spots(analysis: Analysis, run: list[Uneven]) -> Iterator[Spot]:
    """Yield one spot for each stave of the choir, those that stand out first."""
    score, lines = analysis.score, analysis.playing.lines
    odd = [voice.line for voice in run[0].odd]
    everyone = [voice.line for voice in run[0].choir.voices]
    notes: dict[tuple[str, int], list[str]] = {}
    for line in dict.fromkeys([*odd, *everyone]):
        for note in _notes(run, line):
            stave = score.notes_by_id[note].stave
            notes.setdefault((lines[line].part, stave), []).append(note)
    for (part, stave), ids in notes.items():
        yield _spot(score, part, stave, tuple(dict.fromkeys(ids)))


def _notes(run: list[Uneven], line: int) -> Iterator[str]:
    for one in run:
        for voice in one.choir.voices:
            if voice.line == line:
                yield from (note for tone in voice.tones for note in tone.notes)


def _spot(score: Score, part: str, stave: int, ids: tuple[str, ...]) -> Spot:
    notes = [score.notes_by_id[note] for note in ids]
    first = min(notes, key=lambda note: (note.bar, note.offset))
    return Spot(first.bar, first.offset, part, stave, max(note.bar for note in notes), ids)
