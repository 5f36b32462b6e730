"""The instruments room; see docs/design.md."""
