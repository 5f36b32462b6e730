"""Who stands behind a printed part, in the few words most checks need."""

from collections import defaultdict
from typing import NamedTuple

from redstave.model.line import Line, Playing


class Staffing(NamedTuple):
    """The players of one part: `instrument` and `family` are "" and "unknown" where they differ.

    `lines` are those with players of their own; a change of instrument or a division adds no heads.
    """

    lines: tuple[Line, ...]
    instrument: str
    family: str
    players: int
    section: bool


def staffing(playing: Playing) -> dict[str, Staffing]:
    """Return who plays each part, by part id."""
    found: dict[str, list[Line]] = defaultdict(list)
    for line in playing.lines:
        if not line.of:
            found[line.part].append(line)
    return {part: _staffing(tuple(lines)) for part, lines in found.items()}


def _staffing(lines: tuple[Line, ...]) -> Staffing:
    instruments = {line.instrument for line in lines}
    families = {line.family for line in lines}
    return Staffing(
        lines,
        instruments.pop() if len(instruments) == 1 else "",
        families.pop() if len(families) == 1 else "unknown",
        sum(line.players for line in lines),
        any(line.section for line in lines),
    )
