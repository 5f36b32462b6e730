"""Plain arrays from a sound's spectrum to what is heard of it; this room knows no score."""

from redstave.acoustics.hall import hall_gain_db
from redstave.acoustics.loudness import loudness
from redstave.acoustics.partial import partial_loudness

__all__ = ["hall_gain_db", "loudness", "partial_loudness"]
