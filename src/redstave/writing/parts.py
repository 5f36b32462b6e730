"""The bars of one part: notes where they begin, everything else where it stands among them."""

from collections.abc import Generator, Iterator, Sequence

from redstave.model.score import Attributes, Inner, Mark, Part, Score
from redstave.writing.barlines import barline
from redstave.writing.directions import direction, sounds
from redstave.writing.entries import Entry, bars_of
from redstave.writing.hanging import hanging
from redstave.writing.ids import Ids
from redstave.writing.marks import is_attribute, rank
from redstave.writing.notes import Details, note_element
from redstave.writing.pieces import pieces

LONGEST = 256  # quarters in one gap; readers take a longer one for a damaged number
ON_BARLINES = frozenset(["barline", "repeat", "ending"])


def measures(score: Score, part: Part, ids: Ids) -> Iterator[Inner]:
    """Yield every bar of a part that the part has."""
    count = len(part.bar_attributes) or len(score.bars)
    writer = _Writer(score, part, ids)
    for index, entries in enumerate(bars_of(part, count)):
        children = tuple(writer.bar(index, entries))
        yield Inner("measure", "", _bar_attributes(score, part, index), children)


def _bar_attributes(score: Score, part: Part, index: int) -> Attributes:
    given = part.bar_attributes[index] if part.bar_attributes else ()
    names = {name for name, _ in given}
    number = () if "number" in names else (("number", score.bars[index].number),)
    own = () if "id" in names else (("id", f"{part.id}.{index}"),)
    return (*number, *own, *given)


class _Writer:
    """Writes one part; knows where in its bar it is, as a reader will."""

    def __init__(self, score: Score, part: Part, ids: Ids) -> None:
        self._ticks = score.ticks_per_quarter
        self._contents = part.bar_contents
        self._has_staves = part.staves > 1
        self._ids = ids
        self._said_divisions = False
        self._cursor = 0
        self._furthest = 0

    def bar(self, index: int, entries: Sequence[Entry]) -> Iterator[Inner]:
        """Yield what stands in a bar."""
        self._cursor = self._furthest = 0
        for entry, in_chord in zip(entries, _before_chords(entries), strict=True):
            yield from self._entry(entry, in_chord)
        yield from self._move(self._contents[index] if self._contents else self._furthest, True)

    def _entry(self, entry: Entry, in_chord: bool) -> Iterator[Inner]:
        if entry.note is not None:
            yield from self._note(entry)
        elif entry.marks and is_attribute(entry.marks[0]):
            yield from self._attributes(entry)
        elif entry.marks and entry.marks[0].kind in ON_BARLINES:
            yield from self._barline(entry)
        elif entry.marks and entry.marks[0].kind == "layout":
            yield from self._layout(entry)
        elif _is_sound(entry):
            yield from self._sound(entry, in_chord)
        elif _is_of_bar(entry):
            yield from self._of_bar(entry, in_chord)
        else:
            shift = yield from self._approach(entry.offset, in_chord)
            yield direction(entry, self._ids, shift, self._has_staves)

    # Position

    def _move(self, offset: int, only_on: bool = False) -> Iterator[Inner]:
        """Go to an offset in the bar; `only_on`, not back from beyond it."""
        if only_on and self._furthest >= offset:
            return
        distance = offset - self._cursor
        if distance:
            yield from self._divisions()
        if distance < 0:
            yield Inner("backup", "", (), (Inner("duration", str(-distance)),))
        while distance > 0:
            step = min(distance, LONGEST * self._ticks)
            yield Inner("forward", "", (), (Inner("duration", str(step)),))
            distance -= step
        self._cursor = offset
        self._furthest = max(self._furthest, offset)

    def _approach(self, offset: int, in_chord: bool) -> Generator[Inner, None, int]:
        """Go to where a direction stands, or as near as can be; return what is left, in ticks.

        Nothing may stand between the notes of a chord, and no direction lengthens its bar.
        """
        if offset <= self._furthest and not in_chord:
            yield from self._move(offset)
        if offset != self._cursor:
            yield from self._divisions()
        return offset - self._cursor

    def _divisions(self) -> Iterator[Inner]:
        if not self._said_divisions:
            self._said_divisions = True
            yield Inner("attributes", "", (), (Inner("divisions", str(self._ticks)),))

    # Elements

    def _note(self, entry: Entry) -> Iterator[Inner]:
        note = entry.note
        assert note is not None
        yield from self._divisions()
        if not note.chord:
            yield from self._move(note.offset)
        details = Details(note.details)
        attributes = self._ids.named("note", tuple(details.note), note.id)
        if note.hidden and ("print-object", "no") not in attributes:
            attributes += (("print-object", "no"),)
        hung = tuple(hanging(entry, note, self._ids)) if _bears(entry) or note.let_ring else ()
        yield note_element(note, attributes, details, self._has_staves, hung)
        if not note.chord and not note.grace:
            self._cursor += note.duration
            self._furthest = max(self._furthest, self._cursor)

    def _attributes(self, entry: Entry) -> Iterator[Inner]:
        yield from self._move(entry.offset)
        elements = [piece.element for piece in pieces(entry.marks, entry.ends, self._ids)]
        if not self._said_divisions:
            self._said_divisions = True
            editorial = [one for one in elements if one.name in ("footnote", "level")]
            elements.insert(len(editorial), Inner("divisions", str(self._ticks)))
        if not entry.marks[0].path:
            elements.sort(key=rank)
        together: list[Inner] = []
        for element in elements:
            if together and rank(element) < rank(together[-1]):
                yield Inner("attributes", "", (), tuple(together))
                together = []
            together.append(element)
        yield Inner("attributes", "", (), tuple(together))

    def _barline(self, entry: Entry) -> Iterator[Inner]:
        line = barline(entry, self._ids)
        location = dict(line.attributes).get("location", "right")
        if location == "right":
            yield from self._move(entry.offset, only_on=True)
        elif location != "left":
            yield from self._move(entry.offset)
        yield line

    def _layout(self, entry: Entry) -> Iterator[Inner]:
        yield from self._move(entry.offset)
        first, *others = (piece.element for piece in pieces(entry.marks, entry.ends, self._ids))
        if first.name == "print":
            yield first._replace(inside=tuple(others))
        else:
            yield Inner("print", "", (), (first, *others))

    def _sound(self, entry: Entry, in_chord: bool) -> Iterator[Inner]:
        shift = yield from self._approach(entry.offset, in_chord)
        moved = (Inner("offset", str(shift)),) if shift else ()
        for sound in sounds(pieces(entry.marks, entry.ends, self._ids)):
            yield sound._replace(inside=(*sound.inside, *moved))

    def _of_bar(self, entry: Entry, in_chord: bool) -> Iterator[Inner]:
        for piece in pieces(entry.marks, entry.ends, self._ids):
            if piece.element.name == "harmony":
                shift = yield from self._approach(entry.offset, in_chord)
                yield _shifted(piece.element, shift)
            else:
                yield from self._move(entry.offset)
                yield piece.element


def _shifted(harmony: Inner, shift: int) -> Inner:
    """Return a chord symbol that is read `shift` ticks from where it stands."""
    if not shift:
        return harmony
    behind = ("footnote", "level", "staff")
    inside = harmony.inside
    at = next((i for i, one in enumerate(inside) if one.name in behind), len(inside))
    offset = Inner("offset", str(shift))
    return harmony._replace(inside=(*inside[:at], offset, *inside[at:]))


def _bears(entry: Entry) -> bool:
    return bool(entry.marks or entry.ends)


def _before_chords(entries: Sequence[Entry]) -> list[bool]:
    """Say for each entry whether the next note belongs to a chord that has begun before."""
    found: list[bool] = []
    inside = False
    for entry in reversed(entries):
        if entry.note is not None:
            inside = entry.note.chord
        found.append(inside)
    found.reverse()
    return found


def _first(entry: Entry) -> Mark | None:
    return entry.marks[0] if entry.marks else None


def _is_sound(entry: Entry) -> bool:
    mark = _first(entry)
    return mark is not None and not mark.stave and mark.kind in ("tempo", "sound", "instrument")


def _is_of_bar(entry: Entry) -> bool:
    """Tell whether the entry is a mark that stands in its bar by itself."""
    mark = _first(entry)
    return mark is not None and not mark.group and bool(mark.path) and "." not in mark.path
