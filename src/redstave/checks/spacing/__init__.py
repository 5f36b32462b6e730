"""Checks of how chords are laid out and doubled."""
