"""Levels that a played file tells: how hard MIDI strikes its tones, where no page says a level."""

from collections.abc import Iterator, Mapping

from redstave.model.line import FORTE_VELOCITY, level_of_velocity
from redstave.model.score import Part, Score
from redstave.players.dynamics import Instruction
from redstave.players.page import tick_of


def with_played(
    score: Score, part: Part, told: Mapping[int, tuple[Instruction, ...]]
) -> dict[int, tuple[Instruction, ...]]:
    """Return what a part is told, by stave, with the levels that a played file tells."""
    played = tuple(played_levels(score, part))
    return {stave: (*played, *ones) for stave, ones in told.items()}


def played_levels(score: Score, part: Part) -> Iterator[Instruction]:
    """Yield the level of each `<sound dynamics>` of a score that came as MIDI; of others, none.

    A page that has levels is never overruled by its playback.
    """
    if score.origin.format != "midi":
        return
    for mark in part.marks_of("sound"):
        percent = dict(mark.attributes).get("dynamics")
        if percent is not None:
            level = level_of_velocity(float(percent) / 100 * FORTE_VELOCITY)
            yield Instruction(tick_of(score, mark), mark.bar, "played", level, mark.id)
