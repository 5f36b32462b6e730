"""The analysis room; see docs/design.md."""
