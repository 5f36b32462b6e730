"""What the page leaves open for the players, gathered by theme, equal questions told once."""

import re
from collections.abc import Iterator, Sequence
from typing import NamedTuple

from redstave.analysis import Analysis
from redstave.model.line import OpenQuestion
from redstave.model.score import Score
from redstave.players.repeats import unfold
from redstave.render.wording import bar_name, listed

MOST_BARS = 8  # bars named before the rest is counted
_THEMES = {
    "Who plays": (
        "instrument-unknown",
        "name-not-understood",
        "name-ambiguous",
        "players-not-counted",
        "stave-of-two-instruments",
        "percussion-untold",
        "single-line-unlabelled",
        "chord-unlabelled",
        "double-notes-unlabelled",
        "more-notes-than-players",
        "label-contradicted",
        "two-instruments-one-note",
    ),
    "How loud": ("levels-from-velocity", "no-first-level", "swell-without-goal"),
    "How fast": (
        "no-first-tempo",
        "tempo-only-in-title",
        "tempo-word-without-number",
        "tempo-contradicted",
        "tempo-equation",
        "tempo-change-without-goal",
        "tempo-change-without-end",
        "tempo-free",
        "fermata-length",
        "silence-length",
    ),
    "What is played again": ("no-segno", "no-fine", "no-coda", "leap-elsewhere"),
    "What sounds": (
        "octave-not-given",
        "transposition-not-given",
        "harmonics-read",
        "harmonic-string-unknown",
        "harmonic-doubtful",
    ),
}
OTHER = "Besides"


class OpenPoint(NamedTuple):
    """One open question and the bars in which it arises, "" where it concerns a whole part."""

    text: str
    places: str


class OpenTheme(NamedTuple):
    """The open questions on one theme; `more` are those left out to be short."""

    title: str
    points: tuple[OpenPoint, ...]
    more: int = 0


def open_questions(analysis: Analysis) -> tuple[OpenQuestion, ...]:
    """Return all that the page leaves open: for the players, and about what is played again."""
    return (*analysis.playing.open_questions, *unfold(analysis.score).questions)


def theme_of(code: str) -> str:
    """Return the theme of a question's code."""
    return next((title for title, codes in _THEMES.items() if code in codes), OTHER)


def open_themes(
    questions: Sequence[OpenQuestion], score: Score, most: int | None = None
) -> tuple[OpenTheme, ...]:
    """Gather open questions by theme, at most `most` on each, equal ones with all their bars."""
    found = []
    for title in (*_THEMES, OTHER):
        points = list(_points([one for one in questions if theme_of(one.code) == title], score))
        if points:
            shown = tuple(points[:most])
            found.append(OpenTheme(title, shown, len(points) - len(shown)))
    return tuple(found)


def _points(questions: Sequence[OpenQuestion], score: Score) -> Iterator[OpenPoint]:
    bars: dict[str, list[int]] = {}
    for one in questions:
        bars.setdefault(one.text, []).append(one.bar)
    for text, places in bars.items():
        known = sorted({bar for bar in places if bar >= 0})
        names = [bar_name(bar, score) for bar in known]
        told = f"{'bar' if len(names) == 1 else 'bars'} {listed(names, MOST_BARS)}"
        said = names and re.search(rf"\bbars? {re.escape(names[0])}\b", text)
        yield OpenPoint(text, told if names and not said else "")
