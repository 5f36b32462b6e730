"""Checks of compass and register."""
