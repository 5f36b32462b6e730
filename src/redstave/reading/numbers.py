"""Numbers as MusicXML writes them; what is no number gives None and the caller reports it."""

import re
from fractions import Fraction
from functools import lru_cache

DECIMAL = re.compile(r"[+-]?(?:\d{1,15}(?:\.\d{0,15})?|\.\d{1,15})", re.ASCII)
NUMBER_IN_TEXT = re.compile(r"\d{1,6}(?:[.,]\d{1,6})?", re.ASCII)


@lru_cache(maxsize=4096)  # a score says the same few hundred numbers over and over
def exact(text: str | None) -> Fraction | None:
    """Return a decimal number exactly, or None."""
    text = (text or "").strip()
    return Fraction(text) if DECIMAL.fullmatch(text) else None


@lru_cache(maxsize=4096)
def whole(text: str | None) -> int | None:
    """Return a whole number, or None; 4.0 is whole."""
    number = exact(text)
    return int(number) if number is not None and number.denominator == 1 else None


@lru_cache(maxsize=4096)
def decimal(text: str | None) -> float | None:
    """Return a decimal number, or None."""
    number = exact(text)
    return None if number is None else float(number)


@lru_cache(maxsize=4096)
def clean(text: str | None) -> str:
    """Return a text without the space around it; equal texts are one object."""
    return (text or "").strip()


def number_within(text: str) -> float:
    """Return the first number in a text such as "ca. 96", or 0."""
    match = NUMBER_IN_TEXT.search(text)
    return float(match[0].replace(",", ".")) if match else 0.0
