"""Checks of what the hall hears."""
