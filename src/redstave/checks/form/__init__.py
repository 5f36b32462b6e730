"""Checks of colour and form: what becomes of the whole piece."""
