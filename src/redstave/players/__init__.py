"""The players room; see docs/design.md."""
