"""The app room; see docs/design.md."""
