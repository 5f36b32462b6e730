"""The cli room; see docs/design.md."""
