"""The check `too-thin-division`."""

from collections import defaultdict
from collections.abc import Iterator
from typing import NamedTuple

from redstave.analysis import Analysis
from redstave.analysis.bowed import Bowed
from redstave.checks.needs import bowed
from redstave.checks.registry import CannotJudge, Limits, Setting, check
from redstave.model.finding import Claim, Evidence, Finding, Spot
from redstave.model.line import Line, Tone


class Thin(NamedTuple):
    """Bars in which the parts of a divided section have few players."""

    players: float
    section: int
    spot: Spot


@check(
    "too-thin-division",
    Claim.RISK,
    sources=("rk", "common-practice"),
    settings=(
        Setting(
            "least_players",
            2.0,
            "players",
            "a part of a divided section with fewer players than this is a risk",
            "common-practice",
        ),
        Setting(
            "few_players",
            2.5,
            "players",
            "one with fewer than this is asked about",
            "common-practice",
        ),
    ),
)
def too_thin_division(analysis: Analysis, limits: Limits) -> Iterator[Finding]:
    """Find divisions that leave too few players to a part.

    What it reports
        Places at which a section divides so often that hardly anybody is left for each note.

    Why it matters
        A section sounds like one because many play. Two players on a part are heard as two, with
        every difference of pitch between them; one is a soloist who did not ask to be.

    How it is computed
        The players of the section, for the forces in use, are shared among the parts of its
        division, and among its staves where it has several. Where that gives a part fewer than
        least_players it is a risk, where fewer than few_players a question. Sections whose players
        cannot be shared evenly count with their mean.

    Limits
        Solos, single desks and half sections that the page names are meant, and left out. Another
        orchestra gives another answer: see the forces. Double notes without any word are not taken
        for a division.

    Sources
        rk: in a small orchestra dividing in many ways fails. The numbers: common practice, no
        source.
    """
    sections = [part for part in bowed(analysis) if part.section]
    if not sections:
        raise CannotJudge("no part was recognised as a string section")
    found = list(_thin(analysis, sections, limits["few_players"]))
    risky = [one for one in found if one.players < limits["least_players"]]
    asked = [one for one in found if one.players >= limits["least_players"]]
    if risky:
        yield _finding(analysis, risky, limits["least_players"], Claim.RISK)
    if asked:
        yield _finding(analysis, asked, limits["few_players"], Claim.QUESTION)


def _finding(analysis: Analysis, places: list[Thin], limit: float, claim: Claim) -> Finding:
    fewest = min(places, key=lambda one: one.players)
    return Finding(
        "too-thin-division",
        tuple(one.spot for one in places),
        (
            Evidence("players on a part", round(fewest.players, 1), "players", limit),
            Evidence("players on that stave", fewest.section, "players"),
            Evidence("strings on stage", analysis.forces.name),
        ),
        claim=claim,
    )


def _thin(analysis: Analysis, sections: list[Bowed], few: float) -> Iterator[Thin]:
    lines = analysis.playing.lines
    by_bar: dict[str, dict[int, list[Tone]]] = defaultdict(lambda: defaultdict(list))
    for tone in analysis.playing.tones:
        if tone.players < few and _is_part(lines[tone.line]):
            by_bar[lines[tone.line].part][tone.bar].append(tone)
    for part in sections:
        for run in _runs(by_bar[part.part.id]):
            spot = _spot(analysis, part, run)
            yield Thin(min(tone.players for tone in run), part.line.players, spot)


def _is_part(line: Line) -> bool:
    """Tell whether a line is one part of a division, not a portion of the section named by a word.

    Their ids end in a letter that counts the parts, those of portions in a word.
    """
    return line.section and len(line.id.removeprefix(f"{line.of}.")) == 1


def _runs(bars: dict[int, list[Tone]]) -> Iterator[list[Tone]]:
    """Yield the tones of bars that follow each other."""
    run: list[Tone] = []
    for bar in sorted(bars):
        if run and bar > run[-1].bar + 1:
            yield run
            run = []
        run = [*run, *bars[bar]]
    if run:
        yield run


def _spot(analysis: Analysis, part: Bowed, run: list[Tone]) -> Spot:
    ids = tuple(dict.fromkeys(note for tone in run for note in tone.notes))
    first = analysis.score.notes_by_id[ids[0]]
    last = max(analysis.score.notes_by_id[id_].bar for id_ in ids)
    return Spot(first.bar, first.offset, part.part.id, first.stave, last, ids)
