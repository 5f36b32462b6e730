"""Writes what has been read: MusicXML of a Score, MIDI of what its players are told."""

from redstave.writing.midi import to_midi

__all__ = ["to_midi"]
