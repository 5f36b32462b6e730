"""Checks of what came in: completeness, facts of the document, names that should not show."""
