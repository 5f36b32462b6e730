"""Small pieces of SVG that every picture of ours is made from."""

from collections.abc import Iterable
from html import escape

from redstave.model.score import Score


def fmt(value: float) -> str:
    """Return a coordinate with at most one decimal."""
    return f"{value:.1f}".removesuffix(".0")


def text(x: float, y: float, words: str, kind: str, anchor: str = "start") -> str:
    """Return a line of text; `kind` is its class in our style sheet."""
    return (
        f'<text class="{kind}" x="{fmt(x)}" y="{fmt(y)}" text-anchor="{anchor}">'
        f"{escape(words)}</text>"
    )


def path(kind: str, d: str, **data: str) -> str:
    """Return a path of the given class; `data` become data attributes."""
    extra = "".join(f' data-{name}="{escape(value)}"' for name, value in data.items())
    return f'<path class="{kind}" d="{d}"{extra}/>'


def line(kind: str, x1: float, y1: float, x2: float, y2: float) -> str:
    """Return a straight line."""
    return path(kind, f"M{fmt(x1)} {fmt(y1)}L{fmt(x2)} {fmt(y2)}")


def svg(width: float, height: float, kind: str, label: str, pieces: Iterable[str]) -> str:
    """Return a picture with its words for screen readers."""
    return (
        f'<svg class="{kind}" role="img" aria-label="{escape(label)}"'
        f' viewBox="0 0 {fmt(width)} {fmt(height)}" width="{fmt(width)}">{"".join(pieces)}</svg>'
    )


def shortened(words: str, most: int) -> str:
    """Return words cut to at most `most` characters."""
    return words if len(words) <= most else f"{words[: most - 1].rstrip()}…"


def rehearsal_letters(score: Score) -> tuple[tuple[int, str], ...]:
    """Return bar index and text of every rehearsal mark, each bar once."""
    found: dict[int, str] = {}
    for part in score.parts:
        for mark in part.marks_of("rehearsal"):
            found.setdefault(mark.bar, mark.text.strip())
    return tuple(sorted(found.items()))
