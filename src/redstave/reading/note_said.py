"""What one `<note>` says by itself, wherever it stands: height, length, ties, what hangs on it."""

from typing import Any, NamedTuple

from redstave.model.score import Attributes, Inner
from redstave.reading.draft import HANDLERS, UNSAID, Draft
from redstave.reading.element import Element
from redstave.reading.inner import inner
from redstave.reading.keeper import Act, Fault, Keeper, Place, Record
from redstave.reading.notations import read_notation
from redstave.reading.numbers import clean, whole
from redstave.reading.patterns import word_number
from redstave.reading.pitch import Height, height_of
from redstave.reading.shape import NONE, Shape, shape_of
from redstave.reading.strangers import report_strangers
from redstave.reading.ties import Tied

Ends = tuple[tuple[Tied, ...], tuple[Tied, ...]]
Faults = tuple[tuple[Fault, ...], tuple[Fault, ...]]
PLACE = Place(0, 1)  # a record keeps none
_new = tuple.__new__  # for what is made ten thousand times: see `redstave.reading.walk`
OPEN = 6  # the first of the fields of what a note says that attributes are kept in
WORDED = 1, 3, 4, 6, 7  # those that hold words: length, voice, fields, details, inside


class NoteSaid(NamedTuple):
    """What a note says; lines and paths count from its own.

    `height` is None where the pitch is told apart; `stave` is below 0 where a word tells it: -1 for
    the first, -2 for the second. `duration` is its text; `fields` are those of a
    `Note` from `chord` to `instrument`, as if it were not hidden; `ends` what it says of ties that
    start and stop on it (None where none does). `faults` are the problems to tell before and after
    those of its place, None where there are none.
    """

    height: Height | None
    duration: str | None
    stave: int
    voice: str
    fields: tuple[Any, ...]
    names: tuple[str, ...]
    details: Attributes
    inside: tuple[Inner, ...]
    ends: Ends | None
    acts: tuple[Act, ...]
    faults: Faults | None


# The same as a tuple alone, which Python takes apart in a quarter of the time.
Plain = tuple[
    Height | None,
    str | None,
    int,
    str,
    tuple[Any, ...],
    tuple[str, ...],
    Attributes,
    tuple[Inner, ...],
    Ends | None,
    tuple[Act, ...],
    Faults | None,
]


def say_note(
    element: Element, line: int, apart: bool = False, worded: bool = False, parted: bool = False
) -> NoteSaid:
    """Return what a note says that begins at a line.

    Its pitch may be told `apart`, it may hold signs for words, or be without its notations.
    """
    children = list(element)
    shape = shape_of(tuple([child.tag for child in children]))
    record = Record(line)
    draft = Draft() if shape.special else UNSAID
    if shape.special:
        for index, record.path, handle in shape.special:
            if not (parted and children[index].tag == "notations"):
                handle(record, draft, children[index])
    _report_repeated(record, shape, line)
    for child in children:
        if len(child) and child.tag != "pitch":
            report_strangers(record, child)
    height = height_of(record, shape, children, line, apart)
    early = tuple(record.faults)
    record.faults.clear()
    stave = 1 if shape.staff == NONE else _stave(record, children[shape.staff].text, line, worded)
    voice = "1" if shape.voice == NONE else clean(children[shape.voice].text) or "1"
    for record.path, child, record.outer in draft.later + draft.last:
        read_notation(record, child, PLACE)
    return _new(NoteSaid, (
        height,
        None if shape.duration == NONE else children[shape.duration].text,
        stave,
        voice,
        _fields(draft, shape, children),
        shape.names,
        tuple(draft.details),
        _odd(draft, shape, children),
        _ends(draft),
        tuple(record.acts),
        (early, tuple(record.faults)) if early or record.faults else None,
    ))  # fmt: skip


def say_notations(element: Element, line: int) -> tuple[Ends, tuple[Act, ...]] | None:
    """Return what notations say by themselves that begin at a line: of ties, and what they keep.

    None if they are faulty, or say more than that.
    """
    record, draft = Record(line), Draft()
    HANDLERS[element.tag](record, draft, element)
    for record.path, child, record.outer in draft.later:
        read_notation(record, child, PLACE)
    if record.faults or draft.inside or draft.let_ring:
        return None
    return (draft.tied_starts, draft.tied_stops), tuple(record.acts)


def _fields(draft: Draft, shape: Shape, children: list[Element]) -> tuple[Any, ...]:
    return (
        shape.chord,
        shape.grace,
        draft.slash,
        shape.cue,
        False,
        draft.whole_bar,
        draft.tie_start,
        draft.tie_stop,
        draft.let_ring,
        "" if shape.type == NONE else clean(children[shape.type].text),
        shape.dots,
        draft.actual,
        draft.normal,
        "" if shape.stem == NONE else clean(children[shape.stem].text),
        draft.instrument,
    )


def _ends(draft: Draft) -> Ends | None:
    if not (draft.tie_start or draft.tie_stop):
        return None
    unprinted = (Tied(draft.tie_path),)
    return (
        (draft.tied_starts or unprinted) if draft.tie_start else (),
        (draft.tied_stops or unprinted) if draft.tie_stop else (),
    )


def _odd(draft: Draft, shape: Shape, children: list[Element]) -> tuple[Inner, ...]:
    """Return the children that say more than the fields of a Note hold; all of such a name."""
    odd = draft.odd
    for index in shape.plain:
        if children[index].keys():
            odd |= {children[index].tag}
    if not odd:
        return tuple(draft.inside)
    return (*[inner(child) for child in children if child.tag in odd], *draft.inside)


def _report_repeated(keeper: Keeper, shape: Shape, line: int) -> None:
    for name in shape.repeated:
        text = f"The note holds <{name}> more than once; the last one was read."
        keeper.problem("repeated-element", text, line)


def _stave(keeper: Keeper, text: str | None, line: int, worded: bool) -> int:
    word = word_number(text) if worded else -1
    return stave_number(keeper, text, line) if word < 0 else -1 - word


def stave_number(keeper: Keeper, text: str | None, line: int) -> int:
    """Return the number of a stave; a damaged one is 1 and a problem."""
    if text == "1":
        return 1
    number = whole(text)
    if number is None or not 1 <= number <= 99:
        keeper.problem("bad-stave", f"The stave is {text!r}, not a number; 1 was assumed.", line)
        return 1
    return number
