"""Checks against the piano original: what was carried, lost, added, and copied too literally."""
