"""How many players play each note of a stave.

Wind stave of n players: two or more voices (a printed rest counts: its player rests), or a chord,
share the players evenly, at least one each. A single line is played by all after "a 2", by one
after "1." or "solo". A single line with no word before it is read as one player; a word that stands
before bars with more than one line is taken to hold still: both are open questions.

String section: voices and chords share it evenly; "solo", desks and "half" are taken at their word
until "tutti", "unis." or "div.". A double stop counts as a division, because each of its notes has
the sound of a part of the players.
"""

import re
from bisect import bisect_left, bisect_right
from collections import defaultdict
from collections.abc import Sequence
from typing import NamedTuple

from redstave.model.line import Line
from redstave.model.score import Note, Part, Score
from redstave.players.page import is_played, places
from redstave.players.words import senses, tokens

_ROMAN = {"I": 1, "II": 2, "III": 3, "IV": 4, "V": 5, "VI": 6}
# One number of a player with its ending ("1.", "II", "2do") and what joins it to the next.
_NUMBER = re.compile(
    r"\s*(?:(?P<arabic>[1-8])(?!\d)|(?P<roman>III|II|IV|VI|V|I)(?![A-Za-z]))"
    r"(?P<ending>[.º°]|(?:mo|do|ma|da|o|a|er|re|st|nd|rd|th)(?![A-Za-z]))?"
    r"\.?\s*(?:[,/+&-]|(?:e|et|und|and)(?=\s))?"
)


# Only winds share a stave by words; voices sing together and percussion is a matter of instruments.
_LABELLED_FAMILIES = frozenset({"woodwind", "brass", "unknown"})


class Label(NamedTuple):
    """From `tick` in `bar` on, `players` of a stave play a single line."""

    tick: int
    bar: int
    players: float


class Share(NamedTuple):
    """How one note is played: by how many players, and whether a word says so."""

    players: float
    told: bool


def labels(score: Score, part: Part, line: Line) -> dict[int, tuple[Label, ...]]:
    """Return the words about who plays, by stave."""
    found: dict[int, list[Label]] = defaultdict(list)
    for place in places(score, part):
        told = [read_label(text, line) for text in place.words]
        players = next((one for one in told if one is not None), None)
        if players is not None:
            found[place.stave].append(Label(place.tick, place.bar, players))
    return {stave: tuple(ones) for stave, ones in found.items()}


def read_label(text: str, line: Line) -> float | None:
    """Return the players a text assigns to a single line, None when it says nothing about it."""
    meanings = {sense.meaning for sense in senses(text, "sharing")}
    if line.section:
        return _of_section(text, meanings, line.players)
    if "all" in meanings:
        return float(line.players)
    numbers = player_numbers(text, line)
    if numbers:
        return float(len(numbers))
    return 1.0 if "solo" in meanings else None


def _of_section(text: str, meanings: set[str], players: int) -> float | None:
    """Read "solo", desks and "half"; a desk is two players."""
    count = next((float(word) for word in tokens(text) if word.isdigit()), 1.0)
    if meanings & {"desk", "desks"}:
        return min(float(players), 2.0 * (count if "desks" in meanings else 1.0))
    if "half" in meanings:
        return max(1.0, players / 2)
    if "all" in meanings or ("divided" in meanings and "solo" not in meanings):
        return float(players)
    if "solo" in meanings:
        return 1.0
    return min(float(players), count) if "soli" in meanings and count > 1.0 else None


def player_numbers(text: str, line: Line) -> tuple[int, ...]:
    """Return the players' numbers a text begins with: "1.", "II.", "1º", "2do", "3. solo", "1. 2.".

    A bare "2" may be a finger or count repeated bars: it needs a stop, an ordinal's ending or
    "solo". Numbers that no player of the stave has are none.
    """
    told: list[int] = []
    marked, position = False, 0
    while match := _NUMBER.match(text, position):
        told.append(_ROMAN.get(match["roman"], 0) or int(match["arabic"]))
        marked = marked or bool(match["roman"] or match["ending"])
        position = match.end()
    solo = any(sense.meaning in {"solo", "soli"} for sense in senses(text, "sharing"))
    own = line.numbers or tuple(range(1, line.players + 1))
    known = told and all(number in own for number in told)
    return tuple(told) if known and (marked or solo or len(told) > 1) else ()


class Texture(NamedTuple):
    """How many voices stand on a stave in a bar, and how many notes in each chord.

    `parted` are the bars of each stave in which it has more than a single line, sorted.
    """

    voices: dict[tuple[int, int], int]
    chords: dict[tuple[int, int, int, str], int]
    parted: dict[int, tuple[int, ...]]


def texture(part: Part) -> Texture:
    """Count voices (printed rests count: a player rests) and chord notes of a part."""
    voices: dict[tuple[int, int], set[str]] = defaultdict(set)
    chords: dict[tuple[int, int, int, str], int] = defaultdict(int)
    for note in part.notes:
        if note.grace or note.cue or note.hidden:
            continue
        voices[note.stave, note.bar].add(note.voice)
        if is_played(note):
            chords[note.bar, note.offset, note.stave, note.voice] += 1
    counts = {key: len(found) for key, found in voices.items()}
    parted: dict[int, set[int]] = defaultdict(set)
    for (stave, bar), count in counts.items():
        if count > 1:
            parted[stave].add(bar)
    for (bar, _, stave, _), count in chords.items():
        if count > 1:
            parted[stave].add(bar)
    return Texture(counts, chords, {stave: tuple(sorted(bars)) for stave, bars in parted.items()})


def label_at(told: Sequence[Label], tick: int) -> Label | None:
    """Return the last word about who plays, None before the first."""
    index = bisect_right(told, tick, key=lambda label: label.tick) - 1
    return told[index] if index >= 0 else None


def notes_at(note: Note, counted: Texture) -> int:
    """Return how many notes a stave has where this note stands, rests of other voices included."""
    voices = counted.voices.get((note.stave, note.bar), 1)
    chord = counted.chords.get((note.bar, note.offset, note.stave, note.voice), 1)
    return max(1, voices) * max(1, chord)


def share(note: Note, line: Line, counted: Texture, label: Label | None, heads: float) -> Share:
    """Return who plays a note; `heads` are the players behind this stave in this bar."""
    notes = notes_at(note, counted)
    if line.section:
        limit = heads if label is None else min(heads, label.players)
        return Share(max(1.0, limit / notes), True)
    if notes > 1 or line.players == 1 or line.family not in _LABELLED_FAMILIES:
        return Share(max(1.0, line.players / notes), True)
    if label is None:
        return Share(1.0, False)
    return Share(label.players, not parted_since(counted, note, label.bar))


def parted_since(counted: Texture, note: Note, bar: int) -> bool:
    """Whether the stave has had more than one line between a bar and the note."""
    bars = counted.parted.get(note.stave, ())
    index = bisect_left(bars, bar)
    return index < len(bars) and bars[index] < note.bar
