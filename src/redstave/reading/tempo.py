"""Metronome marks."""

from redstave.reading.element import Element
from redstave.reading.keep import content
from redstave.reading.notevalues import TYPE_QUARTERS
from redstave.reading.numbers import number_within
from redstave.reading.walk import Place, Walk


def read_metronome(walk: Walk, element: Element, place: Place) -> None:
    """Keep a metronome mark; its value is quarters a minute, 0 where it names none."""
    sides: list[str] = []
    quarters, value = 0.0, 0.0
    for child in element:
        if child.tag == "beat-unit":
            sides.append((child.text or "").strip())
            quarters = TYPE_QUARTERS.get(sides[-1], 0.0)
            dots = 0
        elif child.tag == "beat-unit-dot" and sides:
            sides[-1] += "."
            dots += 1
        elif child.tag == "per-minute":
            sides.append((child.text or "").strip())
            value = number_within(sides[-1]) * quarters * (2 - 0.5**dots)
        elif isinstance(child.tag, str):
            sides.append(content(child) or child.tag)
    if "per-minute" in {child.tag for child in element} and not value:
        walk.problem(
            "bad-tempo",
            f"The metronome mark {' = '.join(sides)!r} gives no number a minute.",
            element.sourceline,
        )
    walk.mark("tempo", "metronome", element, place, " = ".join(sides), value)
