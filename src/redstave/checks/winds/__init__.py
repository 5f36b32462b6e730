"""Checks of woodwind and brass playing."""
