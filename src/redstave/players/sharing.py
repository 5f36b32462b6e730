"""How many players play each note of a stave.

Wind stave of n players: two or more voices, or a chord, share the players evenly (at least one
each); a single line is played by all after "a 2", by one after "1." or "solo". A single line with
no word is read as "a 2" when the last word said so, else as one player, and becomes an open
question. String section: voices and chords share it evenly; "solo", desks and "half" are taken at
their word until "tutti" or "unis.". A double stop of one player counts as a division, because the
sound of each note is that of a part of the players.
"""

from bisect import bisect_right
from collections import defaultdict
from collections.abc import Sequence
from typing import NamedTuple

from redstave.model.line import Line
from redstave.model.score import Note, Part, Score
from redstave.players.page import Place, is_played, places
from redstave.players.words import senses, tokens

_ROMAN = {"I": 1, "II": 2, "III": 3, "IV": 4, "V": 5, "VI": 6}
_ORDINAL_ENDS = frozenset({"o", "a", "mo", "ma", "do", "da", "er", "re", "st", "nd", "rd", "th"})


class Label(NamedTuple):
    """From `tick` on, `players` of a stave play a single line; None when no word says so."""

    tick: int
    players: float | None
    told: str


class Share(NamedTuple):
    """How one note is played: by how many players, and whether a word says so."""

    players: float
    told: bool


def labels(score: Score, part: Part, line: Line) -> dict[int, tuple[Label, ...]]:
    """Return the words about who plays, by stave."""
    found: dict[int, list[Label]] = defaultdict(list)
    for place in places(score, part):
        players = read_label(place, line)
        if players is not None:
            found[place.stave].append(Label(place.tick, players, place.text))
    return {stave: tuple(ones) for stave, ones in found.items()}


def read_label(place: Place, line: Line) -> float | None:
    """Return the players a text assigns to a single line, None when it says nothing about it."""
    meanings = {sense.meaning for sense in senses(place.text, "sharing")}
    if line.section:
        return _of_section(place.text, meanings, line.players)
    if "all" in meanings:
        return float(line.players)
    numbers = player_numbers(place.text, line)
    if numbers:
        return float(len(numbers))
    return 1.0 if "solo" in meanings else None


def _of_section(text: str, meanings: set[str], players: int) -> float | None:
    if meanings & {"all", "undivided"} or ("divided" in meanings and "solo" not in meanings):
        return float(players)
    count = next((float(word) for word in tokens(text) if word.isdigit()), 1.0)
    if "desk" in meanings:
        return min(float(players), 2.0 * (count if count < players else 1.0))
    if "half" in meanings:
        return max(1.0, players / 2)
    if "solo" in meanings:
        return 1.0
    if "soli" in meanings and count > 1.0:
        return min(float(players), count)
    return None


def player_numbers(text: str, line: Line) -> tuple[int, ...]:
    """Return the players' numbers a text names: "1.", "II.", "1º", "2do", "1. 2.", "3. solo".

    Only a text of nothing but numbers and "solo" counts, and only numbers of this stave: "2" alone
    may be a finger or a repeated bar.
    """
    words = tokens(text)
    solo = any(sense.meaning in {"solo", "soli"} for sense in senses(text, "sharing"))
    numbers = []
    for word in words:
        number = _ROMAN.get(word) or (int(word) if word.isdigit() else 0)
        if number:
            numbers.append(number)
        elif word.lower() not in _ORDINAL_ENDS | {"solo", "soli", "e", "et", "und", "and"}:
            return ()
    plain = text.strip().isdigit()
    if not numbers or (plain and not solo):
        return ()
    own = line.numbers or tuple(range(1, line.players + 1))
    return tuple(numbers) if all(number in own for number in numbers) else ()


class Texture(NamedTuple):
    """How many voices stand on a stave in a bar, and how many notes in each chord."""

    voices: dict[tuple[int, int], int]
    chords: dict[tuple[int, int, int, str], int]


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
    return Texture({key: len(found) for key, found in voices.items()}, chords)


def share(
    note: Note, line: Line, counted: Texture, told: Sequence[Label], tick: int, heads: float
) -> Share:
    """Return who plays a note; `heads` are the players behind this stave in this bar."""
    voices = counted.voices.get((note.stave, note.bar), 1)
    chord = counted.chords.get((note.bar, note.offset, note.stave, note.voice), 1)
    notes = max(1, voices) * max(1, chord)
    index = bisect_right(told, tick, key=lambda label: label.tick) - 1
    label = told[index] if index >= 0 else None
    if line.section:
        limit = heads if label is None or label.players is None else min(heads, label.players)
        return Share(max(1.0, limit / notes), True)
    if notes > 1 or line.players == 1:
        return Share(max(1.0, line.players / notes), True)
    if label is None or label.players is None:
        return Share(1.0, False)
    return Share(label.players, True)
