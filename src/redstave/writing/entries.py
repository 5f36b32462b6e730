"""What stands in one bar of one part, sorted into the elements it is written in.

A note, a direction, a barline and so on is one entry: the note with all that hangs on it, the
direction with all its marks and ends of spans. Their order is that of the file they were read from,
which the paths tell. What came from no file is put where its time has come: a note behind the one
before it in the Score, everything else before the first note of its stave that is not earlier.
"""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field
from typing import NamedTuple

from redstave.model.score import Anchor, Mark, Note, Part, Span
from redstave.writing.marks import is_attribute

Path = tuple[int, ...]


class End(NamedTuple):
    """One end of a span; `of` is the span."""

    of: Span
    at: Anchor
    starts: bool


@dataclass(slots=True)
class Entry:
    """One element of a bar in the making."""

    note: Note | None = None
    marks: list[Mark] = field(default_factory=list)
    ends: list[End] = field(default_factory=list)

    @property
    def offset(self) -> int:
        """Where it stands in its bar, in ticks."""
        if self.note is not None:
            return self.note.offset
        return self.marks[0].offset if self.marks else self.ends[0].at.offset

    @property
    def stave(self) -> int:
        """The stave it stands on; 0 for all."""
        if self.note is not None:
            return self.note.stave
        return self.marks[0].stave if self.marks else self.ends[0].at.stave

    @property
    def voice(self) -> str:
        """The voice it belongs to, "" for none."""
        return self.marks[0].voice if self.marks else self.ends[0].at.voice


def bars_of(part: Part, count: int) -> list[list[Entry]]:
    """Return the entries of each of the first `count` bars of a part."""
    notes: list[list[Note]] = [[] for _ in range(count)]
    marks: list[list[Mark]] = [[] for _ in range(count)]
    ends: list[list[End]] = [[] for _ in range(count)]
    for note in part.notes:
        notes[note.bar].append(note)
    for mark in part.marks:
        marks[mark.bar].append(mark)
    for span in part.spans:
        if span.stop is not None:
            ends[span.stop.bar].append(End(span, span.stop, starts=False))
        if span.start is not None:
            ends[span.start.bar].append(End(span, span.start, starts=True))
    return [entries_of(*bar) for bar in zip(notes, marks, ends, strict=True)]


def entries_of(notes: Iterable[Note], marks: Iterable[Mark], ends: Iterable[End]) -> list[Entry]:
    """Return the entries of one bar in their order."""
    found: dict[int, Entry] = {}  # by the first step of the path
    new_notes: list[tuple[Entry | None, Entry]] = []  # the entry of the note before, the new one
    by_note: dict[str, Entry] = {}
    before: Entry | None = None
    for note in notes:
        entry = by_note[note.id] = Entry(note)
        if note.path:
            found[int(note.path)] = entry
        else:
            new_notes.append((before, entry))
        before = entry
    new: dict[object, Entry] = {}  # by group
    for mark in marks:
        entry = by_note.get(mark.note) or _entry(found, new, mark.path, _together(mark))
        entry.marks.append(mark)
    for end in ends:
        at = end.at
        entry = by_note.get(at.note) or _entry(found, new, at.path, (end.of.id, end.starts))
        entry.ends.append(end)
    ordered = [found[step] for step in sorted(found)]
    return _with_new(ordered, new_notes, new.values()) if new_notes or new else ordered


def _together(mark: Mark) -> object:
    """Return what marks that came from no file share with those they are written with."""
    return ("attributes", mark.offset) if is_attribute(mark) else mark.group or mark.id


def _entry(found: dict[int, Entry], new: dict[object, Entry], path: str, group: object) -> Entry:
    if path:
        return found.setdefault(int(path.partition(".")[0]), Entry())
    return new.setdefault(group, Entry())


def _with_new(
    ordered: list[Entry], notes: Sequence[tuple[Entry | None, Entry]], others: Iterable[Entry]
) -> list[Entry]:
    for before, entry in notes:
        at = 0 if before is None else _index(ordered, before) + 1
        ordered.insert(at, entry)
    for entry in others:
        ordered.insert(_place(ordered, entry), entry)
    return ordered


def _index(entries: Sequence[Entry], wanted: Entry) -> int:
    return next(index for index, entry in enumerate(entries) if entry is wanted)


def _place(entries: Sequence[Entry], new: Entry) -> int:
    """Return where something that came from no file is put in."""
    if new.marks and new.marks[0].kind == "barline" and new.offset:
        return len(entries)
    for index, entry in enumerate(entries):
        note = entry.note
        if note is None or note.chord or new.stave not in (0, note.stave):
            continue
        if note.offset >= new.offset:
            return index
    return len(entries)


def path_of(text: str) -> Path:
    """Return a path as numbers, to be sorted by; what has none stands behind."""
    return tuple(map(int, text.split("."))) if text else BEHIND


BEHIND: Path = (1 << 30,)
