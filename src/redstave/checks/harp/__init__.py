"""Checks of the pedal harp."""
