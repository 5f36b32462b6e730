"""Checks of what the page fails to tell a player."""
