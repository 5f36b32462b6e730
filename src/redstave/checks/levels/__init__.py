"""Checks of written levels and hairpins."""
