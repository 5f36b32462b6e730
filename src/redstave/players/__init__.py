"""From the printed page to players: lines, levels, techniques, tempo and tones."""

from redstave.players.levels import level_at, level_before
from redstave.players.play import play

__all__ = ["level_at", "level_before", "play"]
