"""The acoustics room; see docs/design.md."""
