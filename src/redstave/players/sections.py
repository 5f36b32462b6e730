"""String sections: which staves belong to one, how strong it is, who shares it bar by bar."""

from collections.abc import Iterable, Mapping, Sequence
from itertools import pairwise

from redstave.instruments.names import Naming
from redstave.model.line import Forces
from redstave.model.score import Part
from redstave.players.company import STRINGS

REST_BARS = 2  # a divided stave that rests no longer than this still counts as playing
SectionKey = tuple[str, int]  # instrument, and 1 or 2 for first and second violins


def numbered_violins(namings: Iterable[Naming]) -> set[int]:
    """Return the numbers that violin sections have on this page."""
    return {
        number
        for naming in namings
        if naming.instrument == "violin" and naming.role != "solo"
        for number in naming.numbers
    }


def section_key(naming: Naming, instrument: str, violins: set[int]) -> SectionKey | None:
    """Return the section of one instrument of a part, None when it is of none.

    Violins without a number beside numbered ones are first violins; three and more violin parts
    share all violins.
    """
    if instrument not in STRINGS or naming.role == "solo":
        return None
    if instrument != "violin" or max(violins, default=0) > 2:
        return instrument, 0
    if naming.numbers:
        return "violin", naming.numbers[0]
    return "violin", 1 if violins or not naming.plural else 0


def section_players(key: SectionKey, forces: Forces) -> int:
    """Return the strength of a section; violins that are not told apart are both sections."""
    instrument, number = key
    if key == ("violin", 0):
        return forces.violins_1 + forces.violins_2
    return forces.section(instrument, number)


def shared_heads(
    parts: Sequence[Part], total: int, playing: Mapping[str, Sequence[bool]], bars: int
) -> list[float]:
    """Return the players of a section behind each of its staves in each bar.

    The staves share them evenly among those that are playing around the bar.
    """
    counts = [sum(playing[part.id][bar] for part in parts) for bar in range(bars)]
    return [total / max(1, count) for count in counts]


def bars_with_notes(part: Part, bars: int) -> list[bool]:
    """Return in which bars a part plays, rests of up to REST_BARS between notes included."""
    sounding = sorted(
        {note.bar for note in part.notes if note.kind != "rest" and not (note.cue or note.hidden)}
    )
    playing = [False] * bars
    for bar in sounding:
        playing[bar] = True
    for before, after in pairwise(sounding):
        if after - before - 1 <= REST_BARS:
            playing[before:after] = [True] * (after - before)
    return playing
