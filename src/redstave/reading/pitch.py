"""The height of a note: its pitch, its place on the stave if it has none, or that it is a rest."""

from functools import lru_cache

from redstave.model.score import STEP_SEMITONES
from redstave.reading.element import Element, line_of
from redstave.reading.keep import content
from redstave.reading.keeper import Fault, Keeper, Record
from redstave.reading.numbers import clean, decimal, whole
from redstave.reading.shape import NONE, Shape
from redstave.reading.strangers import report_strangers

# Where a note stands on its stave: its kind, step, alteration and octave as in a `Note`.
Height = tuple[str, str, float, int]

PITCH = frozenset(["step", "alter", "octave"])
REST: Height = ("rest", "", 0.0, 0)
UNPITCHED: Height = ("unpitched", "", 0.0, 0)


def height_of(
    keeper: Keeper, shape: Shape, children: list[Element], line: int, apart: bool
) -> Height | None:
    """Return the height of a note at a line; a damaged one is a problem.

    None where it has a pitch that is told `apart`.
    """
    if shape.pitch != NONE:
        if shape.rest:
            text = "The note holds a pitch and a rest; the pitch was read."
            keeper.problem("pitch-and-rest", text, line)
        return None if apart else _pitch(keeper, children[shape.pitch])
    if shape.rest:
        return REST
    if shape.unpitched != NONE:
        return _unpitched(keeper, children[shape.unpitched])
    keeper.problem(
        "no-pitch",
        "The note has neither a pitch nor a rest; it was read as a note without pitch.",
        line,
    )
    return UNPITCHED


def say_pitch(element: Element) -> tuple[Height, tuple[Fault, ...]]:
    """Return what a `<pitch>` says, wherever it stands; its problems' lines count from its own."""
    record = Record(line_of(element))
    height = _pitch(record, element)
    return height, tuple(record.faults)


def _pitch(keeper: Keeper, element: Element) -> Height:
    said = tuple([(child.tag, child.text) for child in element])
    known = _known_pitch(said)
    for child in element:
        report_strangers(keeper, child)
    return known or _damaged_pitch(keeper, element, dict(said))


@lru_cache(maxsize=1024)
def _known_pitch(children: tuple[tuple[object, str | None], ...]) -> Height | None:
    """Return the pitch that these children name, or None where one of them is damaged."""
    elements = [(tag, text) for tag, text in children if isinstance(tag, str)]  # no comments
    said = dict(elements)
    if len(said) != len(elements) or not said.keys() <= PITCH:
        return None
    step, octave = clean(said.get("step")), whole(said.get("octave"))
    alter = decimal(said["alter"]) if "alter" in said else 0.0
    if step not in STEP_SEMITONES or octave is None or not -2 <= octave <= 12:
        return None
    if alter is None or abs(alter) > 4:
        return None
    return ("pitched", step, alter, octave)


def _damaged_pitch(keeper: Keeper, element: Element, said: dict[str, str | None]) -> Height:
    step, octave = clean(said.get("step")), whole(said.get("octave"))
    if step not in STEP_SEMITONES or octave is None or not -2 <= octave <= 12:
        keeper.problem(
            "bad-pitch",
            f"The pitch {step}{said.get('octave') or ''} is none; "
            "it was read as a note without pitch.",
            line_of(element),
        )
        return UNPITCHED
    alter = decimal(said["alter"]) if "alter" in said else 0.0
    if alter is not None and abs(alter) <= 4:
        text = "The pitch holds more than a step, an alteration and an octave; the last was read."
        keeper.problem("repeated-element", text, line_of(element))
        return ("pitched", step, alter, octave)
    text = f"The alteration {said.get('alter')!r} is not a number of semitones; 0 was assumed."
    keeper.problem("bad-alter", text, line_of(element))
    return ("pitched", step, 0.0, octave)


def _unpitched(keeper: Keeper, element: Element) -> Height:
    step = clean(element.findtext("display-step"))
    octave = whole(element.findtext("display-octave"))
    if step in STEP_SEMITONES and octave is not None:
        return ("unpitched", step, 0.0, octave)
    if len(element):
        keeper.problem(
            "bad-pitch",
            f"The place on the stave {content(element)!r} is none; it was left out.",
            line_of(element),
        )
    return UNPITCHED
