"""The signs that tell players to go back or on: repeats, endings, D.C., D.S., Fine, Coda.

They are gathered from all parts, by bar; words and what a file says for playback count alike.
"""

import re
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from itertools import pairwise
from typing import NamedTuple

from redstave.model.score import Mark, Score
from redstave.players.words import tokens

MOST_TIMES = 16  # no page repeats a passage more often; a file that says so is wrong
# "Scherzo da capo" names what is to be played again: another movement, which may be another file.
_MOVEMENTS = frozenset(
    {"scherzo", "menuetto", "minuetto", "menuet", "menuett", "minuet", "marcia", "trio"}
)


_FINE = frozenset({"fine", "fin", "ende", "schluss"})
_TO_CAPO = frozenset(
    {("d", "c"), ("da", "capo"), ("dal", "capo"), ("von", "anfang"), ("vom", "anfang")}
)
_TO_SIGN = frozenset({("d", "s"), ("dal", "segno"), ("del", "segno"), ("vom", "zeichen")})
_WITH = frozenset({"con", "with", "mit", "avec"})
_REPEATS = frozenset(
    {"rep", "ripetizione", "ripetizioni", "repeat", "repeats", "wiederholung", "wiederholungen"}
    | {"wdh", "reprise", "reprises"}
)


class Ending(NamedTuple):
    """An ending over bars `first` to `last`, played at the passes in `numbers`."""

    first: int
    last: int
    numbers: frozenset[int]


class Jump(NamedTuple):
    """A leap after `bar`: to the beginning ("capo") or to a sign ("segno").

    `until` is how far one then plays: "fine", "coda", "sign" ("D.C. al segno") or "" where nothing
    is said; `sign` is the id of the sign in the file, "" if none; `repeats` tells that repeats are
    taken again.
    """

    bar: int
    back_to: str
    until: str
    sign: str
    text: str
    repeats: bool = False


@dataclass(frozen=True, slots=True)
class Signs:
    """Every such sign of a score, by bar index.

    `backward` gives how often the passage is played; `to_coda` are the bars after which the leap to
    the coda is made, `to_sign` those after which a sign is reached.
    """

    forward: frozenset[int]
    backward: dict[int, int]
    endings: tuple[Ending, ...]
    segni: tuple[tuple[int, str], ...]
    codas: tuple[int, ...]
    to_coda: frozenset[int]
    to_sign: frozenset[int]
    fine: frozenset[int]
    jumps: tuple[Jump, ...]


def signs_of(score: Score) -> Signs:
    """Gather the signs of a score."""
    marks = list(_of_all_parts(score))
    repeats = [mark for mark in marks if mark.kind == "repeat"]
    found = [tokens(mark.text) for mark in marks if mark.kind == "word"]
    words = [(mark, low) for mark, low in zip(_words(marks), map(_lowered, found), strict=True)]
    sounds = [(mark, dict(mark.attributes)) for mark in marks if mark.kind == "sound"]
    drawn = [mark for mark in marks if mark.kind == "coda"]
    drawn = drawn or [mark for mark, low in words if low == ("coda",)]
    coda_signs = sorted({mark.bar for mark in drawn})
    to_coda = {_before(mark) for mark, low in words if low in {("to", "coda"), ("al", "coda")}}
    to_coda |= {_before(mark) for mark, said in sounds if "tocoda" in said}
    if not to_coda and len(coda_signs) > 1:
        to_coda = {_before(min(drawn, key=lambda mark: (mark.bar, mark.offset)))}
        del coda_signs[0]
    return Signs(
        forward=frozenset(mark.bar for mark in repeats if mark.name == "forward"),
        backward=_backward(repeats),
        endings=tuple(_endings(marks)),
        segni=tuple(sorted(_segni(marks, sounds))),
        codas=tuple(bar for bar in coda_signs if bar - 1 not in to_coda) or tuple(coda_signs),
        to_coda=frozenset(to_coda),
        to_sign=frozenset(_before(mark) for mark in marks if mark.kind == "segno"),
        fine=frozenset(mark.bar for mark, low in words if len(low) == 1 and low[0] in _FINE)
        | frozenset(mark.bar for mark, said in sounds if "fine" in said),
        jumps=tuple(sorted(_jumps(words, sounds))),
    )


def _of_all_parts(score: Score) -> Iterator[Mark]:
    kinds = ("repeat", "ending", "segno", "coda", "sound", "word")
    return (mark for part in score.parts for mark in part.marks_of(*kinds))


def _words(marks: Iterable[Mark]) -> Iterator[Mark]:
    return (mark for mark in marks if mark.kind == "word")


def _lowered(words: tuple[str, ...]) -> tuple[str, ...]:
    return tuple(word.lower() for word in words)


def _before(mark: Mark) -> int:
    """Return the last bar played before a leap that is printed at the head or end of a bar."""
    return mark.bar if mark.offset else mark.bar - 1


def _backward(repeats: Iterable[Mark]) -> dict[int, int]:
    times: dict[int, int] = {}
    for mark in repeats:
        if mark.name == "backward":
            times[mark.bar] = max(times.get(mark.bar, 2), min(MOST_TIMES, round(mark.value)))
    return times


def _endings(marks: Iterable[Mark]) -> Iterator[Ending]:
    """Yield the endings by bar; one without an end lasts up to the next, or for its bar.

    An ending without a number is the one after that before it, or the first.
    """
    reached = (-1, 0)  # the last bar of the ending before, and its highest number
    ends = {(mark.bar, mark.name, mark.text) for mark in marks if mark.kind == "ending"}
    starts = sorted({(bar, text) for bar, name, text in ends if name == "start"})
    for index, (first, text) in enumerate(starts):
        limit = starts[index + 1][0] - 1 if index + 1 < len(starts) else None
        stops = [bar for bar, name, _ in ends if name in {"stop", "discontinue"} and bar >= first]
        last = min(stops, default=first)
        last = last if limit is None else max(first, min(last, limit))
        following = reached[1] + 1 if reached[0] + 1 == first else 1
        numbers = frozenset(_numbers(text)) or frozenset({following})
        reached = last, max(numbers)
        yield Ending(first, last, numbers)


def _numbers(text: str) -> Iterator[int]:
    """Read "1", "1, 2" or "1-3"."""
    for low, high in re.findall(r"(\d{1,2})(?:\s*-\s*(\d{1,2}))?", text):
        yield from range(int(low), min(MOST_TIMES, int(high or low)) + 1)


def _segni(
    marks: Iterable[Mark], sounds: Iterable[tuple[Mark, dict[str, str]]]
) -> set[tuple[int, str]]:
    named = {(mark.bar, said["segno"]) for mark, said in sounds if "segno" in said}
    bars = {bar for bar, _ in named}
    return named | {(m.bar, "") for m in marks if m.kind == "segno" and m.bar not in bars}


def _jumps(
    words: Iterable[tuple[Mark, tuple[str, ...]]], sounds: Iterable[tuple[Mark, dict[str, str]]]
) -> Iterator[Jump]:
    """Yield each leap once; the words beside a leap for playback tell how far it goes."""
    found: dict[int, Jump] = {}
    for mark, low in words:
        back_to = _back_to(low)
        if back_to:
            other = _MOVEMENTS.intersection(low)
            text = " ".join(mark.text.split())
            back_to = "elsewhere" if other else back_to
            repeats = not (_WITH.isdisjoint(low) or _REPEATS.isdisjoint(low))
            found[mark.bar] = Jump(mark.bar, back_to, _until(low, back_to), "", text, repeats)
    for mark, said in sounds:
        sign = said.get("dalsegno", "")
        if sign or said.get("dacapo") == "yes":
            here = Jump(mark.bar, "segno" if sign else "capo", "", "", "D.S." if sign else "D.C.")
            found[mark.bar] = found.get(mark.bar, here)._replace(sign=sign)
    yield from found.values()


def _back_to(low: tuple[str, ...]) -> str:
    pairs = set(pairwise(low))
    if pairs & _TO_CAPO:
        return "capo"
    return "segno" if pairs & _TO_SIGN else ""


def _until(low: tuple[str, ...], back_to: str) -> str:
    """Return how far one plays after a leap."""
    if back_to == "capo" and ("al", "segno") in pairwise(low):
        return "sign"
    if not _FINE.isdisjoint(low):
        return "fine"
    return "coda" if "coda" in low else ""
