"""Seasons on disk: entries, remarks, grades, phrases; nothing typed is ever lost."""
