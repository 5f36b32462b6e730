"""Faults planted in real scores: what is planted where, and whether a review finds it."""
