"""Checks of bowed strings."""
