"""Fuzz targets: damaged files thrown at a room for a bounded time."""
