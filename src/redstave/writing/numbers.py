"""Numbers as MusicXML writes them."""

from decimal import Decimal
from functools import lru_cache


@lru_cache(maxsize=1024)
def number(value: float) -> str:
    """Return a number in decimals, without a point where it is whole."""
    if value == int(value):
        return str(int(value))
    return format(Decimal(repr(value)), "f")
