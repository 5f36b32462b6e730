"""What the stems of a lone line tell: stems against the custom name the upper or lower player.

By custom stems point to the middle of the stave: up on notes below the middle line, down on those
above it. Where all stems of a bar point one way and most of them break that custom, a second voice
was left out: stems up are the upper player's, stems down the lower one's (common practice). A line
that the file keeps in a lower voice, with no stems given, is the lower player's as well: every
program draws its stems down.
"""

from bisect import bisect_right
from collections import defaultdict
from collections.abc import Mapping, Sequence

from redstave.model.score import Note, Part, Score
from redstave.players.page import is_played
from redstave.players.texture import Texture

STEPS = "CDEFGAB"
# Diatonic number (octave * 7 + step) of the note on the clef's own line.
_CLEF_NOTES = {"G": 4 * 7 + 4, "F": 3 * 7 + 3, "C": 4 * 7}
_USUAL_LINES = {"G": 2, "F": 4, "C": 3}
_OCTAVES = {"-2": -2, "-1": -1, "1": 1, "2": 2}
_TREBLE_MIDDLE = 4 * 7 + 6


def lone_sides(score: Score, part: Part, counted: Texture) -> dict[str, int]:
    """Return for lone lines that stand for one of two players 1 (upper) or -1 (lower), by note."""
    bars: dict[tuple[int, int], list[Note]] = defaultdict(list)
    for note in part.notes:
        if is_played(note) and not note.grace:
            bars[note.stave, note.bar].append(note)
    first = _first_voices(part)
    middles = _middles(score, part)
    found: dict[str, int] = {}
    for (stave, bar), notes in bars.items():
        if (stave, bar) not in counted.bars:
            middle = _middle_at(middles.get(stave, ()), score.bars[bar].start)
            side = _side(notes, middle) or (
                -1 if notes[0].voice != first[stave] and not notes[0].stem else 0
            )
            found.update(dict.fromkeys((note.id for note in notes), side))
    return found


def _first_voices(part: Part) -> dict[int, str]:
    voices: dict[int, set[str]] = defaultdict(set)
    for note in part.notes:
        voices[note.stave].add(note.voice)
    return {
        stave: min(names, key=lambda name: (int(name) if name.isdecimal() else 0, name))
        for stave, names in voices.items()
    }


def _side(notes: Sequence[Note], middle: int) -> int:
    stemmed = [note for note in notes if note.stem in {"up", "down"} and note.step]
    if not stemmed or len({note.stem for note in stemmed}) > 1:
        return 0
    side = 1 if stemmed[0].stem == "up" else -1
    against = sum(_diatonic(note) * side > middle * side for note in stemmed)
    return side if against * 2 > len(stemmed) else 0


def _diatonic(note: Note) -> int:
    return note.octave * 7 + STEPS.index(note.step)


def _middles(score: Score, part: Part) -> Mapping[int, Sequence[tuple[int, int]]]:
    """Return the diatonic number of the middle line of each stave, as (from tick, number)."""
    found: dict[int, list[tuple[int, int]]] = defaultdict(list)
    for mark in part.marks_of("clef"):
        if mark.name in _CLEF_NOTES:
            line = round(mark.value) or _USUAL_LINES[mark.name]
            octave = _OCTAVES.get(dict(mark.attributes).get("octave-change", ""), 0)
            middle = _CLEF_NOTES[mark.name] + 2 * (3 - line) + 7 * octave
            found[mark.stave or 1].append((score.tick(mark.bar, mark.offset), middle))
    return {stave: sorted(ones) for stave, ones in found.items()}


def _middle_at(middles: Sequence[tuple[int, int]], tick: int) -> int:
    index = bisect_right(middles, tick, key=lambda one: one[0]) - 1
    return middles[index][1] if index >= 0 else _TREBLE_MIDDLE
