"""What `<attributes>` sets: divisions, clef, key, metre, staves, transposition."""

import re
from collections.abc import Callable
from fractions import Fraction
from functools import lru_cache

from redstave.reading.element import Element, line_of
from redstave.reading.inner import is_element
from redstave.reading.keep import as_mark, content, unknown
from redstave.reading.keeper import Place
from redstave.reading.numbers import decimal, whole
from redstave.reading.strangers import report_strangers
from redstave.reading.walk import Walk


def read_attributes(walk: Walk, element: Element) -> None:
    """Take what is in force from here on; everything but the divisions is a mark too."""
    place = Place(walk.cursor, 0)
    for child in walk.inside(element):
        ATTRIBUTES.get(child.tag, unknown)(walk, child, place)


def _told(element: Element) -> dict[str, str]:
    """Return the texts of an element's children by their names; comments have none."""
    return {child.tag: (child.text or "").strip() for child in element if is_element(child)}


def _numbered(element: Element, place: Place, usual: int) -> Place:
    number = whole(element.get("number"))
    return place._replace(stave=usual if number is None else number)


def _divisions(walk: Walk, element: Element, _place: Place) -> None:
    report_strangers(walk, element)
    walk.set_divisions(element.text, line_of(element))


def _staves(walk: Walk, element: Element, place: Place) -> None:
    staves = whole(element.text)
    if staves is None or not 1 <= staves <= 99:
        text = f"The number of staves {element.text!r} is none; {walk.staves} was kept."
        walk.problem("bad-stave", text, line_of(element))
        return
    walk.staves = max(walk.staves, staves)
    walk.mark("other", element.tag, element, place, str(staves), float(staves))


def _clef(walk: Walk, element: Element, place: Place) -> None:
    said = _told(element)
    sign, line = said.get("sign", ""), said.get("line", "")
    shift = said.get("clef-octave-change", "")
    attributes = (*element.items(), *((("octave-change", shift),) if shift else ()))
    placed = _numbered(element, place, 1)
    walk.mark("clef", sign, element, placed, sign + line, decimal(line) or 0.0, attributes)


def _key(walk: Walk, element: Element, place: Place) -> None:
    said = _told(element)
    placed = _numbered(element, place, 0)
    if "fifths" not in said:
        walk.mark("key", "nontraditional", element, placed, content(element))
        return
    fifths = whole(said["fifths"])
    if fifths is None:
        text = f"The key {said['fifths']!r} is no number of fifths; no sharps or flats assumed."
        walk.problem("bad-key", text, line_of(element))
    extra = tuple((name, said[name]) for name in ("cancel",) if name in said)
    attributes = (*element.items(), *extra)
    walk.mark("key", said.get("mode", ""), element, placed, "", float(fifths or 0), attributes)


def _time(walk: Walk, element: Element, place: Place) -> None:
    placed = _numbered(element, place, 0)
    symbol = element.get("symbol") or "time"
    walk.has_meter = True
    if next(element.iterchildren("senza-misura"), None) is not None:
        walk.nominal = None
        walk.mark("meter", "senza-misura", element, placed, "senza misura")
        return
    beats = tuple([(child.text or "").strip() for child in element.iterchildren("beats")])
    units = tuple([(child.text or "").strip() for child in element.iterchildren("beat-type")])
    text = "+".join(f"{count}/{unit}" for count, unit in zip(beats, units, strict=False))
    quarters, walk.nominal = _lengths(beats, units, walk.ticks_per_quarter)
    if walk.nominal is None:
        walk.problem(
            "bad-meter",
            f"The metre {text!r} is none; bars were taken as long as what stands in them.",
            line_of(element),
        )
    walk.mark("meter", symbol, element, placed, text, quarters)


@lru_cache(maxsize=256)  # all parts change their metre together
def _lengths(
    beats: tuple[str, ...], units: tuple[str, ...], ticks: int
) -> tuple[float, int | None]:
    """Return a bar's length in quarters and in ticks, 0 and None if the metre is none."""
    quarters = _quarters(beats, units)
    return (0.0, None) if quarters is None else (float(quarters), round(quarters * ticks))


def _quarters(beats: tuple[str, ...], units: tuple[str, ...]) -> Fraction | None:
    total = Fraction(0)
    for count_text, unit_text in zip(beats, units, strict=False):
        if not re.fullmatch(r"\d{1,4}(\s*\+\s*\d{1,4})*", count_text, re.ASCII):
            return None
        unit = whole(unit_text)
        if not unit or not 0 < unit <= 1024:
            return None
        total += Fraction(4 * sum(int(part) for part in count_text.split("+")), unit)
    return total or None


def _transpose(walk: Walk, element: Element, place: Place) -> None:
    said = _told(element)
    chromatic = decimal(said.get("chromatic", "0"))
    octaves = whole(said.get("octave-change", "0"))
    if chromatic is None or octaves is None or abs(chromatic) > 60 or abs(octaves) > 5:
        walk.problem(
            "bad-transposition",
            f"The transposition {content(element)!r} is none; concert pitch was assumed.",
            line_of(element),
        )
        chromatic, octaves = 0.0, 0
    double = element.find("double")
    extra = [(name, text) for name, text in said.items() if name != "double"]
    if double is not None:
        extra.append(("double", double.get("above") or "no"))
    walk.mark(
        "transposition",
        element.tag,
        element,
        _numbered(element, place, 0),
        content(element),
        chromatic + 12.0 * octaves,
        (*element.items(), *extra),
    )


def _staff_details(walk: Walk, element: Element, place: Place) -> None:
    walk.mark("other", element.tag, element, _numbered(element, place, 1), content(element))


ATTRIBUTES: dict[str, Callable[[Walk, Element, Place], None]] = {
    "divisions": _divisions,
    "staves": _staves,
    "clef": _clef,
    "key": _key,
    "time": _time,
    "transpose": _transpose,
    "staff-details": _staff_details,
    "measure-style": _staff_details,
    "part-symbol": as_mark("layout"),
    "instruments": as_mark("other"),
    "for-part": as_mark("other"),
    "directive": as_mark("word"),
    "footnote": as_mark("other"),
    "level": as_mark("other"),
}
