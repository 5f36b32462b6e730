"""Barlines, repeats and endings."""

from collections.abc import Callable, Iterator

from redstave.reading.directions import AsideSaid
from redstave.reading.element import Element, line_of
from redstave.reading.keep import as_mark, as_span, content, report_inside, unknown
from redstave.reading.keeper import Keeper, Place, Record
from redstave.reading.numbers import clean, whole


def say_barline(element: Element, line: int) -> AsideSaid:
    """Return what a barline says that begins at a line, and what it carries."""
    record = Record(line)
    location = element.get("location") or "right"
    place = Place(0, 0)
    drawn = next(element.iterchildren("bar-style"), None)
    style = "regular" if drawn is None else clean(drawn.text)
    if not style:
        text = "<bar-style> is empty; a regular barline was assumed."
        record.problem("unknown-element", text, line_of(element if drawn is None else drawn))
        style = "regular"
    looks = () if drawn is None else drawn.items()
    own = tuple((f"bar-style-{name}", value) for name, value in looks)
    attributes = (*element.items(), *own)
    record.mark("barline", style, element, place, location, 0.0, attributes, holds_marks=True)
    children = list(_others(record, element, drawn))
    for record.path, child in sorted(children, key=_rank):
        CONTENTS.get(child.tag, unknown)(record, child, place)
    return AsideSaid(None, location, True, 0, "", tuple(record.acts), tuple(record.faults))


def _others(
    keeper: Keeper, element: Element, drawn: Element | None
) -> Iterator[tuple[str, Element]]:
    """Yield what a barline carries beside the style in which it is drawn, with its path."""
    if drawn is not None:
        report_inside(keeper, drawn)
    for child in keeper.inside(element):
        if child is not drawn:
            yield keeper.path, child


def _rank(child: tuple[str, Element]) -> int:
    # What stands on a barline is read in MusicXML's order, whatever the order of the file.
    return ORDER.index(child[1].tag) if child[1].tag in ORDER else len(ORDER)


def _repeat(keeper: Keeper, element: Element, place: Place) -> None:
    direction = element.get("direction") or ""
    times = whole(element.get("times"))
    if direction not in ("forward", "backward"):
        text = f"The repeat points {direction!r}, neither forward nor backward."
        keeper.problem("bad-type", text, line_of(element))
    keeper.mark("repeat", direction, element, place, "", float(times or 0))


def _ending(keeper: Keeper, element: Element, place: Place) -> None:
    # The printed text may differ from the number: "1.-3." for "1,2,3".
    printed = content(element)
    extra = (("printed", printed),) if printed else ()
    keeper.mark(
        "ending",
        element.get("type") or "",
        element,
        place,
        element.get("number") or "",
        attributes=(*element.items(), *extra),
    )


CONTENTS: dict[str, Callable[[Keeper, Element, Place], None]] = {
    "footnote": as_mark("other"),
    "level": as_mark("other"),
    "wavy-line": as_span("wavy-line"),
    "segno": as_mark("segno"),
    "coda": as_mark("coda"),
    "fermata": as_mark("fermata"),
    "ending": _ending,
    "repeat": _repeat,
}
ORDER = tuple(CONTENTS)
