"""What `<attributes>` sets: divisions, clef, key, metre, staves, transposition."""

import re
from collections.abc import Callable, Iterator
from fractions import Fraction
from functools import lru_cache
from itertools import groupby
from typing import NamedTuple

from redstave.reading.element import Element, line_of
from redstave.reading.inner import is_element
from redstave.reading.keep import as_mark, content, unknown
from redstave.reading.keeper import Act, Fault, Place, Record, Said
from redstave.reading.numbers import decimal, exact, whole
from redstave.reading.strangers import report_strangers
from redstave.reading.walk import Walk

Metre = tuple[tuple[str, ...], tuple[str, ...]]  # numbers of beats, and their units


class AttributesSaid(NamedTuple):
    """What `<attributes>` says; lines and paths count from its own.

    `divisions` of a quarter are in force from here on, if they are said, and at least so many
    `staves`, and the `metre`: its numbers of beats and its units. `acts` are set out by staves.
    """

    divisions: Fraction | None
    staves: int
    metre: Metre | None
    acts: tuple[tuple[int, tuple[Act, ...]], ...]
    faults: tuple[Fault, ...]


class Setting(Record):
    """The record of `<attributes>`, whose marks stand on staves of their own."""

    def __init__(self, line: int) -> None:
        super().__init__(line)
        self.divisions: Fraction | None = None
        self.staves = 0
        self.metre: Metre | None = None
        self._placed: list[int] = []

    def keep(self, said: Said, line: int, place: Place, /) -> None:
        """Keep what the element at hand says, which stands at a line, and on which stave."""
        super().keep(said, line, place)
        self._placed.append(place.stave)

    def by_staves(self) -> Iterator[tuple[int, tuple[Act, ...]]]:
        """Yield what has been kept, as long as it stands on one stave."""
        staves = iter(self._placed)
        for stave, acts in groupby(self.acts, lambda _: next(staves)):
            yield stave, tuple(acts)


def say_attributes(element: Element, line: int) -> AttributesSaid:
    """Return what `<attributes>` says that begins at a line; all but divisions are marks too."""
    record = Setting(line)
    for child in record.inside(element):
        ATTRIBUTES.get(child.tag, unknown)(record, child, Place(0, 0))
    by_staves = tuple(record.by_staves())
    faults = tuple(record.faults)
    return AttributesSaid(record.divisions, record.staves, record.metre, by_staves, faults)


def tell_attributes(walk: Walk, said: AttributesSaid, line: int) -> None:
    """Take what is in force from here on."""
    divisions, staves, metre, by_staves, faults = said
    walk.tell_faults(faults, line)
    if divisions is not None:
        walk.divide(divisions)
    if staves > walk.staves:
        walk.staves = staves
    if metre is not None:
        walk.has_meter = True
        walk.nominal = _length(metre, walk.ticks_per_quarter)
    for stave, acts in by_staves:
        walk.tell(acts, (), line, walk.path, walk.cursor, stave, "")


def _told(element: Element) -> dict[str, str]:
    """Return the texts of an element's children by their names; comments have none."""
    return {child.tag: (child.text or "").strip() for child in element if is_element(child)}


def _numbered(element: Element, place: Place, usual: int) -> Place:
    number = whole(element.get("number"))
    return place._replace(stave=usual if number is None else number)


def _divisions(record: Setting, element: Element, _place: Place) -> None:
    report_strangers(record, element)
    number = exact(element.text)
    if number is None or number <= 0:
        text = (
            f"The divisions of a quarter note are {element.text!r}, not a number above 0; "
            "1 was assumed."
        )
        record.problem("bad-divisions", text, line_of(element))
        number = Fraction(1)
    record.divisions = number


def _staves(record: Setting, element: Element, place: Place) -> None:
    staves = whole(element.text)
    if staves is None or not 1 <= staves <= 99:
        text = f"The number of staves {element.text!r} is none; it was left out."
        record.problem("bad-stave", text, line_of(element))
        return
    record.staves = max(record.staves, staves)
    record.mark("other", element.tag, element, place, str(staves), float(staves))


def _clef(record: Setting, element: Element, place: Place) -> None:
    said = _told(element)
    sign, line = said.get("sign", ""), said.get("line", "")
    shift = said.get("clef-octave-change", "")
    attributes = (*element.items(), *((("octave-change", shift),) if shift else ()))
    placed = _numbered(element, place, 1)
    record.mark("clef", sign, element, placed, sign + line, decimal(line) or 0.0, attributes)


def _key(record: Setting, element: Element, place: Place) -> None:
    said = _told(element)
    placed = _numbered(element, place, 0)
    if "fifths" not in said:
        record.mark("key", "nontraditional", element, placed, content(element))
        return
    fifths = whole(said["fifths"])
    if fifths is None:
        text = f"The key {said['fifths']!r} is no number of fifths; no sharps or flats assumed."
        record.problem("bad-key", text, line_of(element))
    extra = tuple((name, said[name]) for name in ("cancel",) if name in said)
    attributes = (*element.items(), *extra)
    record.mark("key", said.get("mode", ""), element, placed, "", float(fifths or 0), attributes)


def _time(record: Setting, element: Element, place: Place) -> None:
    placed = _numbered(element, place, 0)
    symbol = element.get("symbol") or "time"
    if next(element.iterchildren("senza-misura"), None) is not None:
        record.metre = (), ()
        record.mark("meter", "senza-misura", element, placed, "senza misura")
        return
    beats = tuple([(child.text or "").strip() for child in element.iterchildren("beats")])
    units = tuple([(child.text or "").strip() for child in element.iterchildren("beat-type")])
    text = "+".join(f"{count}/{unit}" for count, unit in zip(beats, units, strict=False))
    record.metre = beats, units
    quarters = _quarters(record.metre)
    if quarters is None:
        record.problem(
            "bad-meter",
            f"The metre {text!r} is none; bars were taken as long as what stands in them.",
            line_of(element),
        )
    record.mark("meter", symbol, element, placed, text, float(quarters or 0))


@lru_cache(maxsize=256)  # all parts change their metre together
def _length(metre: Metre, ticks: int) -> int | None:
    """Return a bar's length in ticks, None if the metre is none."""
    quarters = _quarters(metre)
    return None if quarters is None else round(quarters * ticks)


def _quarters(metre: Metre) -> Fraction | None:
    total = Fraction(0)
    for count_text, unit_text in zip(*metre, strict=False):
        if not re.fullmatch(r"\d{1,4}(\s*\+\s*\d{1,4})*", count_text, re.ASCII):
            return None
        unit = whole(unit_text)
        if not unit or not 0 < unit <= 1024:
            return None
        total += Fraction(4 * sum(int(part) for part in count_text.split("+")), unit)
    return total or None


def _transpose(record: Setting, element: Element, place: Place) -> None:
    said = _told(element)
    chromatic = decimal(said.get("chromatic", "0"))
    octaves = whole(said.get("octave-change", "0"))
    if chromatic is None or octaves is None or abs(chromatic) > 60 or abs(octaves) > 5:
        record.problem(
            "bad-transposition",
            f"The transposition {content(element)!r} is none; concert pitch was assumed.",
            line_of(element),
        )
        chromatic, octaves = 0.0, 0
    double = element.find("double")
    extra = [(name, text) for name, text in said.items() if name != "double"]
    if double is not None:
        extra.append(("double", double.get("above") or "no"))
    record.mark(
        "transposition",
        element.tag,
        element,
        _numbered(element, place, 0),
        content(element),
        chromatic + 12.0 * octaves,
        (*element.items(), *extra),
    )


def _staff_details(record: Setting, element: Element, place: Place) -> None:
    record.mark("other", element.tag, element, _numbered(element, place, 1), content(element))


ATTRIBUTES: dict[str, Callable[[Setting, Element, Place], None]] = {
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
