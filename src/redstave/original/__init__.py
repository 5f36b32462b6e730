"""What became of the piano piece: bars, tones, voices and habits beside the original."""

from redstave.original.match import match, match_of
from redstave.original.strips import carrier_strips

__all__ = ["carrier_strips", "match", "match_of"]
