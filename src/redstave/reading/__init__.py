"""The reading room; see docs/design.md."""
