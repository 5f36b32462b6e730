"""Damaged and hostile files of our own making, and what the reader has to make of each."""
