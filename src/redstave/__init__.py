"""Redstave reads an orchestral score as an orchestration teacher does."""

__version__ = "0.1.0"
