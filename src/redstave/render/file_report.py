"""The problems of a file as its writer can act on them: by kind, with counts, gravest first."""

import tomllib
from collections.abc import Iterable, Sequence
from functools import cache
from importlib.resources import files
from typing import NamedTuple

from redstave.model.score import Problem, Score

PLACES = 6  # more are counted, not listed


class FileTheme(NamedTuple):
    """All problems of one kind: what is wrong, what it means for the review, where it is.

    `weight` 3: the music may have been read wrongly; 2: what players are told may be; 1: untidy.
    """

    code: str
    times: int
    weight: int
    text: str
    means: str
    places: str


@cache
def problem_words() -> dict[str, dict[str, str | int]]:
    """Return the words for each kind of problem, by its code."""
    text = files("redstave.render").joinpath("problems.toml").read_text(encoding="utf-8")
    return tomllib.loads(text)


def file_report(score: Score) -> tuple[FileTheme, ...]:
    """Return what is wrong with a score's file: the gravest kinds first, then the most frequent."""
    by_code: dict[str, list[Problem]] = {}
    for problem in score.problems:
        by_code.setdefault(problem.code, []).append(problem)
    themes = [_theme(code, problems, score) for code, problems in by_code.items()]
    return tuple(sorted(themes, key=lambda theme: (-theme.weight, -theme.times, theme.code)))


def _theme(code: str, problems: Sequence[Problem], score: Score) -> FileTheme:
    words = problem_words()[code]
    count = sum(problem.times for problem in problems)
    text = str(words["one"] if count == 1 or "many" not in words else words["many"])
    if code == "converted":
        text = problems[0].text
    return FileTheme(
        code,
        count,
        int(words["weight"]),
        text.replace("#", str(count)),
        str(words["means"]),
        _places(problems, score),
    )


def _places(problems: Iterable[Problem], score: Score) -> str:
    """Return where problems are: part by part, the first few bars of each."""
    bars: dict[str, dict[str, None]] = {}
    for problem in problems:
        bars.setdefault(problem.part, {})[problem.bar] = None
    shown = [_in_part(part, list(found), score) for part, found in bars.items()]
    shown = [place for place in shown if place]
    more = len(shown) - PLACES
    return "; ".join(shown[:PLACES]) + (f"; {more} more parts" if more > 0 else "")


def _in_part(part: str, bars: Sequence[str], score: Score) -> str:
    named = [bar for bar in bars if bar]
    where = f"bar{'s' if len(named) > 1 else ''} {', '.join(named[:PLACES])}" if named else ""
    if len(named) > PLACES:
        where += f" and {len(named) - PLACES} more"
    known = score.parts_by_id.get(part)
    name = (" ".join(known.name.split()) or known.id) if known is not None else ""
    return ", ".join(word for word in (name, where) if word)
