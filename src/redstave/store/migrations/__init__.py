"""Migrations of the tables of a season."""
