"""Several notes at once on a string stave: can one player hold them, is a division marked.

Two checks speak about such places, and no place is told by both:

- Where the page says that nobody divides ("non div.", a solo, a part for one player), what one
  player cannot hold is a faulty stop.
- Where the page says nothing, a single chord is read as a stop, a series of them as a section that
  was meant to divide and was not told. In a part where nobody could hold such a series undivided,
  single chords belong to the same story.
"""

from collections.abc import Iterable, Iterator
from typing import NamedTuple

from redstave.analysis.division import Passage, Place, Says, passages
from redstave.analysis.heads import not_as_printed
from redstave.analysis.page import Chord, Voice, chords, marks_by_note
from redstave.analysis.staffing import Staffing, staffing
from redstave.analysis.stops import has_open_string
from redstave.analysis.strings import Strings, sounding, strings_of
from redstave.instruments import InstrumentBook
from redstave.model.finding import Spot
from redstave.model.line import Playing
from redstave.model.score import Part, Score

#: Signs under which the notes of a chord need not be held together.
LOOSE = frozenset({"arpeggiate", "thumb-position"})


class Judged(NamedTuple):
    """One passage of several notes at once.

    `impossible` are the places no single player can hold; `open_questions` those that could be
    either: two notes, neither of them an open string, which is what stops are made of, and what
    only two players can hold while stems in two voices show a section how to share it. `pitches`
    are the sounding pitches of each place, none where print does not show what fingers hold.
    """

    part: Part
    passage: Passage
    section: bool
    impossible: tuple[Place, ...]
    open_questions: tuple[Place, ...]
    pitches: tuple[tuple[float, ...], ...] = ()

    @property
    def unmarked(self) -> bool:
        """Whether a section reads it with no word about dividing."""
        return self.section and self.passage.says is Says.NOTHING

    @property
    def series(self) -> bool:
        """Whether several chords follow each other."""
        return len(self.passage.places) > 1


class Told(NamedTuple):
    """The double notes of one part: those that lack a word, and those that are faulty stops."""

    undecided: tuple[Judged, ...]
    stops: tuple[Judged, ...]


def told(double_notes: Iterable[Judged]) -> Iterator[Told]:
    """Yield the double notes of each string part, sorted by what is to be said about them."""
    by_part: dict[str, list[Judged]] = {}
    for one in double_notes:
        by_part.setdefault(one.part.id, []).append(one)
    for ones in by_part.values():
        series = [one for one in ones if one.unmarked and one.series]
        proved = any(one.impossible for one in series)
        single = [one for one in ones if one.unmarked and not one.series and one.impossible]
        stops = [one for one in ones if one.impossible and _nobody_divides(one)]
        undecided = series + single if proved else series
        yield Told(_in_order(undecided), _in_order(stops if proved else stops + single))


def _nobody_divides(one: Judged) -> bool:
    return not one.section or one.passage.says in (Says.UNDIVIDED, Says.ALONE)


def _in_order(ones: list[Judged]) -> tuple[Judged, ...]:
    return tuple(sorted(ones, key=lambda one: one.passage.places[0].tick))


def judged(score: Score, playing: Playing, book: InstrumentBook) -> Iterator[Judged]:
    """Yield every passage of several notes at once in the parts for bowed strings."""
    players = staffing(playing)
    pitches = sounding(playing)
    for part in score.parts:
        who = players.get(part.id)
        strings = strings_of(who.instrument, book) if who else None
        if who is not None and strings is not None:
            yield from _judged(score, part, pitches, who, strings)


def _judged(
    score: Score, part: Part, pitches: dict[str, float], who: Staffing, strings: Strings
) -> Iterator[Judged]:
    loose = _loose(score, part)
    bar = max(one.length for one in score.bars)
    for passage in passages(score, part, chords(score, part), bar):
        held = {place: _pitches(place, pitches, loose) for place in passage.places}
        shared = who.section and passage.says is Says.NOTHING
        too_much = [p for p, notes in held.items() if notes and not strings.can_hold(notes)]
        parted = {p for p in too_much if shared and _parted(p, pitches, loose, strings)}
        impossible = tuple(p for p in too_much if p not in parted)
        either = tuple(
            p
            for p, n in held.items()
            if p in parted or (len(n) == 2 and not has_open_string(n, strings.open))
        )
        yield Judged(part, passage, who.section, impossible, either, tuple(held.values()))


def _parted(
    place: Place, pitches: dict[str, float], loose: frozenset[str], strings: Strings
) -> bool:
    """Tell whether stems in two voices show who plays what, and each voice alone can be held."""
    voices: dict[Voice, list[Chord]] = {}
    for chord in place.chords:
        voices.setdefault(chord.voice, []).append(chord)
    each = [_pitches(Place(place.tick, tuple(own)), pitches, loose) for own in voices.values()]
    return len(each) > 1 and all(strings.can_hold(notes) for notes in each)


def _pitches(place: Place, pitches: dict[str, float], loose: frozenset[str]) -> tuple[float, ...]:
    """Return the pitches to be held together; none where a sign or an unknown note forbids it."""
    ids = [note for chord in place.chords for note in chord.ids]
    if any(note in loose or note not in pitches for note in ids):
        return ()
    return tuple(sorted({pitches[note] for note in ids}))


def _loose(score: Score, part: Part) -> frozenset[str]:
    """Return the ids of notes whose print does not show what the fingers hold together."""
    signed = {
        note
        for note, marks in marks_by_note(part).items()
        if any(mark.name in LOOSE for mark in marks)
    }
    return not_as_printed(score, part) | signed


def place_spot(part: Part, places: tuple[Place, ...]) -> Spot:
    """Return the place on the page of a run of double notes."""
    struck: dict[tuple[str, ...], Chord] = {
        chord.ids: chord for place in places for chord in place.chords
    }
    run = sorted(struck.values(), key=lambda chord: chord.start)
    first = places[0].chords
    head = max(first, key=lambda chord: chord.start).head
    ids = tuple(note for chord in run for note in chord.ids)
    last = max(max(chord.head.bar for chord in place.chords) for place in places)
    return Spot(head.bar, head.offset, part.id, head.stave, last, ids)
