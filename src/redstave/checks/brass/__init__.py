"""Checks of brass playing."""
