"""Metronome marks."""

from redstave.reading.element import Element, line_of
from redstave.reading.keep import content
from redstave.reading.keeper import Keeper, Place
from redstave.reading.notevalues import TYPE_QUARTERS
from redstave.reading.numbers import number_within


def read_metronome(keeper: Keeper, element: Element, place: Place) -> None:
    """Keep a metronome mark; its value is quarters a minute, 0 where it names none."""
    sides: list[str] = []
    unit, value = 0.0, 0.0
    for child in element:
        text = content(child)
        if child.tag == "beat-unit":
            sides.append(text)
            unit = TYPE_QUARTERS.get(text, 0.0)
        elif child.tag == "beat-unit-dot" and sides:
            sides[-1] += "."
            unit *= 1.5 if sides[-1].count(".") == 1 else 7 / 6
        elif child.tag == "per-minute":
            sides.append(text)
            value = number_within(text) * unit
        elif isinstance(child.tag, str):
            sides.append(text or child.tag)
    mark = " = ".join(sides)
    if element.find("per-minute") is not None and not value:
        text = f"The metronome mark {mark!r} gives no number of a note value a minute."
        keeper.problem("bad-tempo", text, line_of(element))
    keeper.mark("tempo", "metronome", element, place, mark, value)
