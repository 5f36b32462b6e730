"""What the players around a part are told at one moment."""

from collections import Counter

from redstave.model.line import Playing
from redstave.players import level_at


def level_in_force(playing: Playing, part: str, tick: int) -> float | None:
    """Return the level that holds for a part at a tick; None if none was ever printed for it."""
    for line in playing.lines:
        if line.part == part:
            level, known = level_at(playing.levels[line.id], tick)
            return level if known else None
    return None


def level_around(playing: Playing, part: str, tick: int) -> int | None:
    """Return the level most tones of other parts have at a tick; None if nobody else is told."""
    levels = Counter(
        round(tone.level)
        for tone in playing.tones
        if tone.start <= tick < tone.stop
        and tone.level_known
        and playing.lines[tone.line].part != part
    )
    return levels.most_common(1)[0][0] if levels else None
