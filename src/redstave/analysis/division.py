"""What the page says about dividing a string section, and where a stave asks the question.

The words are common practice in Italian, German, French and English. "unis.", "tutti" and their
like end a division (read: reading1); they do not say how later double notes are to be played.
"""

import re
from bisect import bisect_right
from collections.abc import Iterator, Sequence
from enum import StrEnum
from typing import NamedTuple

from redstave.analysis.page import Chord, by_stave, tick_of
from redstave.model.score import Part, Score
from redstave.players.words import senses

# "in 3", "en 2" after a name; of players' words only a division has such a number.
_IN_PARTS = re.compile(r"\b(?:in|en|zu|à)\s?[2-9]\b", re.IGNORECASE)
_PORTIONS = frozenset(
    {"divided", "two", "three", "four", "desk", "desks", "half", "others", "soli", "players"}
)


class Says(StrEnum):
    """What the page says about a stave at one moment."""

    NOTHING = "nothing"
    DIVIDED = "divided"
    UNDIVIDED = "undivided"
    ALONE = "alone"


class Place(NamedTuple):
    """A moment at which a stave holds more than one note: every note that sounds there."""

    tick: int
    chords: tuple[Chord, ...]

    @property
    def two_voices(self) -> bool:
        """Whether the notes stand in different voices, with stems of their own."""
        return len({chord.voice for chord in self.chords}) > 1


class Passage(NamedTuple):
    """Places on one stave that follow each other under one saying of the page."""

    says: Says
    stave: int
    places: tuple[Place, ...]


def read_division(text: str) -> Says | None:
    """Tell what a printed word says about dividing, as players read it; None if nothing."""
    meanings = {sense.meaning for sense in senses(text, "sharing")}
    if "undivided" in meanings:
        return Says.UNDIVIDED
    if not _PORTIONS.isdisjoint(meanings) or _IN_PARTS.search(text):
        return Says.DIVIDED
    if "all" in meanings:
        return Says.NOTHING
    return Says.ALONE if "solo" in meanings else None


def passages(score: Score, part: Part, struck: Sequence[Chord], gap: int) -> Iterator[Passage]:
    """Yield the passages of a string part that hold more than one note at a time.

    Places further apart than `gap` ticks, or with a word about dividing between them, belong to
    different passages. What the name of the part says holds from the start.
    """
    said = sayings(score, part)
    for stave, on_stave in by_stave(struck).items():
        run: list[Place] = []
        for place in _places(on_stave):
            if run and (
                place.tick - run[-1].tick > gap
                or said.place(place.tick) != said.place(run[-1].tick)
            ):
                yield Passage(said.at(run[0].tick), stave, tuple(run))
                run = []
            run.append(place)
        if run:
            yield Passage(said.at(run[0].tick), stave, tuple(run))


class Sayings(NamedTuple):
    """What a part is told about dividing: from which tick on, and what; the first is its name."""

    words: tuple[tuple[int, Says], ...]

    def place(self, tick: int) -> int:
        """Return which of the words is in force at a tick."""
        return bisect_right(self.words, tick, key=lambda word: word[0]) - 1

    def at(self, tick: int) -> Says:
        """Return what is in force at a tick."""
        return self.words[self.place(tick)][1]


def sayings(score: Score, part: Part) -> Sayings:
    """Return what is said from which tick on; a word on one stave holds for the part."""
    named = read_division(part.name) or Says.NOTHING
    words = [
        (tick_of(score, mark), says)
        for mark in part.marks_of("word", "level")
        if (says := read_division(mark.text)) is not None
    ]
    return Sayings(((-1, named), *sorted(words, key=lambda word: word[0])))


def _places(on_stave: Sequence[Chord]) -> Iterator[Place]:
    """Yield every moment at which a chord begins while more than one pitch sounds."""
    held: list[Chord] = []
    ticks = sorted({chord.start for chord in on_stave})
    waiting = list(reversed(on_stave))
    for tick in ticks:
        held = [chord for chord in held if chord.stop > tick]
        while waiting and waiting[-1].start == tick:
            held.append(waiting.pop())
        if len({note.written_midi for chord in held for note in chord.notes}) > 1:
            yield Place(tick, tuple(held))
