"""Reads one bar of one part: goes along its children and hands each to the handler of its name."""

from collections.abc import Callable

from redstave.reading.attributes import read_attributes
from redstave.reading.barlines import read_barline
from redstave.reading.directions import moved, read_direction, sound_in_bar
from redstave.reading.element import Element, line_of
from redstave.reading.keep import as_mark, content, unknown
from redstave.reading.notes import read_note, stave_number
from redstave.reading.walk import Place, Walk


def read_measure(walk: Walk, element: Element, bar: Element) -> None:
    """Read what an element holds of a bar; the bar's number and attributes are those of `bar`."""
    line = line_of(element)
    number = bar.get("number")
    implicit = bar.get("implicit") == "yes"
    walk.begin_bar(number or str(len(walk.bars) + 1), line, implicit, tuple(bar.items()))
    if number is None:
        walk.problem("no-bar-number", "The bar has no number; it was counted.", line)
    position = 0
    for child in element:
        handle = HANDLERS.get(child.tag, _unknown)
        if handle is not _unknown or isinstance(child.tag, str):  # a comment is no element
            position += 1
            walk.path = str(position)
            handle(walk, child)
    walk.end_bar()


def _backup(walk: Walk, element: Element) -> None:
    walk.chord_onset = None
    ticks = walk.ticks(element.findtext("duration"), line_of(element), bounded=False)
    if ticks > walk.cursor:
        walk.problem(
            "backup-too-far",
            "The file goes back to before the bar's beginning; its beginning was assumed.",
            line_of(element),
        )
    walk.cursor = max(0, walk.cursor - ticks)


def _forward(walk: Walk, element: Element) -> None:
    walk.chord_onset = None
    walk.advance(walk.ticks(element.findtext("duration"), line_of(element)))


def _print(walk: Walk, element: Element) -> None:
    place = Place(walk.cursor, 0)
    walk.mark("layout", element.tag, element, place, holds_marks=True)
    for child in walk.inside(element):
        walk.mark("layout", child.tag, child, place, content(child))


def _other(walk: Walk, element: Element) -> None:
    as_mark("other")(walk, element, Place(walk.cursor, 1))


def _harmony(walk: Walk, element: Element) -> None:
    staff, offset = element.find("staff"), element.find("offset")
    stave = 1 if staff is None else stave_number(walk, staff.text, line_of(staff))
    place = Place(walk.cursor if offset is None else moved(walk, offset), stave)
    for index in [n for n, child in enumerate(element) if child is offset]:
        del element[index]  # the place says it now
    as_mark("other")(walk, element, place)


def _unknown(walk: Walk, element: Element) -> None:
    unknown(walk, element, Place(walk.cursor, 1))


HANDLERS: dict[str, Callable[[Walk, Element], None]] = {
    "note": read_note,
    "backup": _backup,
    "forward": _forward,
    "attributes": read_attributes,
    "direction": read_direction,
    "barline": read_barline,
    "print": _print,
    "sound": sound_in_bar,
    "harmony": _harmony,
    "figured-bass": _harmony,
    "listening": _other,
    "grouping": _other,
    "link": _other,
    "bookmark": _other,
}
