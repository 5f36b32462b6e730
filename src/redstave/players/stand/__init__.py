"""What one player sees from the chair: entries, levels and their causes, changes, breaths."""

from redstave.players.stand.chairs import Chair, chairs, find_chair
from redstave.players.stand.stand import stand_of
from redstave.players.stand.view import Stand

__all__ = ["Chair", "Stand", "chairs", "find_chair", "stand_of"]
