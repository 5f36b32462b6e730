"""Where time stands still: fermatas, and silences at a barline or a caesura.

A fermata in one part holds everybody. Where several notes have one at the same time, time is
stretched while all of them sound: from the latest start to the earliest end. How much is an
assumption (tempo_words.toml), three times after "lunga".
"""

from collections.abc import Iterator, Sequence
from typing import NamedTuple

from redstave.model.score import Mark, Note, Part, Score
from redstave.players.page import tick_of
from redstave.players.tempo_words import pauses
from redstave.players.words import tokens

_SHAPES = {"angled": "short", "double-angled": "short", "square": "long", "double-square": "long"}
_LONG = frozenset({"lunga", "lungo", "long", "longue", "lang", "lange"})


class Hold(NamedTuple):
    """Ticks that last `times` as long as written."""

    start: int
    stop: int
    times: float


class Silence(NamedTuple):
    """Seconds in which nothing happens, just before `tick`."""

    tick: int
    seconds: float
    kind: str  # "caesura" or "barline": a fermata over it


def holds(score: Score) -> tuple[Hold, ...]:
    """Return where fermatas stretch time, in order and without overlap."""
    found: set[Hold] = set()
    for part in score.parts:
        marks = [mark for mark in part.marks_of("fermata") if mark.note]
        notes = {note.id: note for note in part.notes} if marks else {}
        long = _long_bars(part) if marks else frozenset()
        for mark in marks:
            note = notes.get(mark.note)
            if note is not None and note.duration and not note.cue:
                found.add(_hold(score, mark, note, long))
    return tuple(_together(sorted(found, key=lambda one: (one.stop, one.start, one.times))))


def _hold(score: Score, mark: Mark, note: Note, long: frozenset[int]) -> Hold:
    shape = "long" if note.bar in long else _SHAPES.get(mark.text, "plain")
    start = tick_of(score, note)
    return Hold(start, start + note.duration, pauses()["fermata"][shape].number)


def _long_bars(part: Part) -> frozenset[int]:
    """Return the bars with a word such as "lunga"."""
    return frozenset(
        mark.bar
        for mark in part.marks_of("word")
        if _LONG.intersection(word.lower() for word in tokens(mark.text))
    )


def _together(waiting: Sequence[Hold]) -> Iterator[Hold]:
    """Join the holds that overlap into the time they share; `waiting` is sorted by end."""
    group: list[Hold] = []
    for one in waiting:
        if group and one.start >= group[0].stop:
            yield _shared(group)
            group = []
        group.append(one)
    if group:
        yield _shared(group)


def _shared(group: Sequence[Hold]) -> Hold:
    stop = group[0].stop
    return Hold(max(one.start for one in group), stop, max(one.times for one in group))


def silences(score: Score) -> tuple[Silence, ...]:
    """Return the silences at caesuras and at fermatas over a barline, in the order of time."""
    lengths = pauses()["silence"]
    found: dict[int, str] = {}
    for part in score.parts:
        marks = [*part.marks_of("breath"), *part.marks_of("fermata")]
        notes = {note.id: note for note in part.notes} if marks else {}
        for mark in marks:
            if mark.name == "caesura":
                note = notes.get(mark.note)
                end = note.duration if note is not None else 0
                found.setdefault(tick_of(score, note or mark) + end, "caesura")
            elif mark.kind == "fermata" and not mark.note and tick_of(score, mark):
                found[tick_of(score, mark)] = "barline"
    return tuple(Silence(tick, lengths[found[tick]].number, found[tick]) for tick in sorted(found))
