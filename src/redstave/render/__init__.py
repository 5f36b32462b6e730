"""The render room; see docs/design.md."""
