"""The checks room; see docs/design.md."""
