"""Reads one bar of one part: goes along its children and hands each to the handler of its name."""

from collections.abc import Callable, Iterator

from redstave.reading.asides import SAY, read_aside
from redstave.reading.cut import BarText, Item, Move, UnsureError
from redstave.reading.directions import moved_by, sound_in_bar
from redstave.reading.element import Element, line_of
from redstave.reading.keep import as_mark, unknown
from redstave.reading.keeper import Place
from redstave.reading.note_said import stave_number
from redstave.reading.notes import read_note, read_notes
from redstave.reading.strangers import report_strangers
from redstave.reading.told import AsideText, BarTag, NoteText
from redstave.reading.walk import Walk


def read_bar(walk: Walk, element: Element, bar: Element, text: BarText | None = None) -> None:
    """Read what an element holds of a bar; number and attributes are those of `bar`.

    `text` is that of the bar, if it is known; UnsureError if it does not fit.
    """
    if text is None or text[1] is None:
        walk.begin_bar(line_of(element), BarTag.of(tuple(bar.items())))
    else:
        walk.begin_bar(text[0], text[1])
    children = list(element)
    tags = [child.tag for child in children]
    items = None if text is None else _items(tags, text)
    for tag, child in zip(tags, children, strict=True):
        if tag == "note":
            if items is None:
                read_note(walk, child)
            else:
                read_notes(walk, child, _run(items))
        elif isinstance(tag, str):  # a comment is no element
            walk.position += 1
            walk.path = str(walk.position)
            if tag in SAY:
                read_aside(walk, child, None if items is None else _told(items, tag))
            else:
                HANDLERS.get(tag, _unknown)(walk, child)
    walk.end_bar()


def read_known(walk: Walk, element: Element, text: BarText) -> None:
    """Read a bar of which all texts are known; an element before it stands for them."""
    line, tag, items = text
    walk.begin_bar(line, tag or BarTag.of(()))
    for item in items:
        if isinstance(item, list):
            read_notes(walk, element, item)
            continue
        walk.position += 1
        if isinstance(item, Move):
            MOVES[item.name](walk, item.duration, item.line)
        else:
            walk.path = str(walk.position)
            read_aside(walk, element, item)
    walk.end_bar()


def _items(tags: list[str], text: BarText) -> Iterator[Item]:
    """Return the texts of a bar's notes and of what stands beside them.

    Each stands directly in the bar, so if there are as many, they are theirs.
    """
    if sum(map(tags.count, ("note", *SAY))) != len(text[2]):
        raise UnsureError
    return iter(text[2])


def _run(items: Iterator[Item]) -> list[NoteText]:
    """Return the texts of the notes at hand."""
    item = next(items)
    if isinstance(item, list):
        return item
    raise UnsureError


def _told(items: Iterator[Item], name: str) -> AsideText:
    """Return the text of what stands at hand beside notes."""
    item = next(items)
    if isinstance(item, list | Move) or item[1].name != name:
        raise UnsureError
    return item


def _backup(walk: Walk, element: Element) -> None:
    report_strangers(walk, element)
    _back(walk, _duration(element), line_of(element))


def _back(walk: Walk, duration: str | None, line: int) -> None:
    walk.chord_onset = None
    ticks = walk.ticks(duration, line, bounded=False)
    if ticks > walk.cursor:
        walk.problem(
            "backup-too-far",
            "The file goes back to before the bar's beginning; its beginning was assumed.",
            line,
        )
    walk.cursor = max(0, walk.cursor - ticks)


def _forward(walk: Walk, element: Element) -> None:
    report_strangers(walk, element)
    _on(walk, _duration(element), line_of(element))


def _on(walk: Walk, duration: str | None, line: int) -> None:
    walk.chord_onset = None
    walk.advance(walk.ticks(duration, line))


def _duration(element: Element) -> str | None:
    first = next(element.iterchildren("duration"), None)
    return None if first is None else first.text or ""


def _other(walk: Walk, element: Element) -> None:
    as_mark("other")(walk, element, Place(walk.cursor, 1))


def _harmony(walk: Walk, element: Element) -> None:
    staff, offset = element.find("staff"), element.find("offset")
    stave = 1 if staff is None else stave_number(walk, staff.text, line_of(staff))
    moved = walk.cursor if offset is None else moved_by(walk, offset.text, line_of(offset))
    place = Place(moved, stave)
    for index in [n for n, child in enumerate(element) if child is offset]:
        del element[index]  # the place says it now
    as_mark("other")(walk, element, place)


def _unknown(walk: Walk, element: Element) -> None:
    unknown(walk, element, Place(walk.cursor, 1))


MOVES = {"backup": _back, "forward": _on}
HANDLERS: dict[str, Callable[[Walk, Element], None]] = {
    "backup": _backup,
    "forward": _forward,
    "sound": sound_in_bar,
    "harmony": _harmony,
    "figured-bass": _harmony,
    "listening": _other,
    "grouping": _other,
    "link": _other,
    "bookmark": _other,
}
