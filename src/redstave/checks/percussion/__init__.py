"""Checks of timpani and percussion."""
