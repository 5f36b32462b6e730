"""What stands above or below the stave: everything inside `<direction>`, and `<sound>`."""

from typing import NamedTuple

from redstave.reading.element import Element, line_of
from redstave.reading.keep import Handler, as_mark, as_span, content, report_empty, unknown
from redstave.reading.keeper import Act, Fault, Keeper, Place, Record
from redstave.reading.levels import read_dynamics, read_words
from redstave.reading.note_said import stave_number
from redstave.reading.numbers import clean, decimal, exact
from redstave.reading.strangers import report_strangers
from redstave.reading.tempo import read_metronome
from redstave.reading.walk import Walk

CONTENTS: dict[str, Handler] = {
    "dynamics": read_dynamics,
    "words": read_words,
    "wedge": as_span("hairpin"),
    "metronome": read_metronome,
    "dashes": as_span("dashes"),
    "bracket": as_span("bracket"),
    "octave-shift": as_span("octave-shift"),
    "pedal": as_span("pedal"),
    "rehearsal": as_mark("rehearsal"),
    "segno": as_mark("segno"),
    "coda": as_mark("coda"),
    "harp-pedals": as_mark("harp-pedals"),
    "symbol": as_mark("other"),
    "damp": as_mark("other"),
    "damp-all": as_mark("other"),
    "eyeglasses": as_mark("other"),
    "string-mute": as_mark("other"),
    "scordatura": as_mark("other"),
    "image": as_mark("other"),
    "principal-voice": as_mark("other"),
    "percussion": as_mark("other"),
    "accordion-registration": as_mark("other"),
    "staff-divide": as_mark("other"),
    "other-direction": as_mark("other"),
}
OUTER: dict[str, Handler] = {
    "footnote": as_mark("other"),
    "level": as_mark("other"),
    "listening": as_mark("sound"),
}
PLACING = ("staff", "voice", "offset")
AT_THE_END = {"sound": 1, "listening": 2}


class AsideSaid(NamedTuple):
    """What stands beside notes as its element tells it; lines and paths count from its own.

    `moved` is the text of its `<offset>` with its line, None without one; otherwise it stands `at`
    the "left" or the "right" of its bar or, if "", where the file stands. `shows` tells whether it
    says anything, `faults` are its problems. Its marks are a group, or are none.
    """

    moved: tuple[str | None, int] | None
    at: str
    shows: bool
    stave: int
    voice: str
    acts: tuple[Act, ...]
    faults: tuple[Fault, ...]
    is_group: bool = True

    @property
    def open(self) -> tuple[object, ...]:
        """What attributes are kept in, set out like that of a note."""
        return (), (), None, self.acts, self.faults


def say_direction(element: Element, line: int) -> AsideSaid:
    """Return what a direction says that begins at a line."""
    record = Record(line)
    contents: list[tuple[str, Element]] = []
    others: list[tuple[str, Element]] = []
    moved, stave, voice = None, 1, ""
    for child in record.inside(element):
        tag = child.tag
        report_strangers(record, child)
        if tag == "direction-type":
            report_empty(record, child)
            contents.extend((record.path, inner) for inner in record.inside(child))
        elif tag == "staff":
            stave = stave_number(record, child.text, line_of(child))
        elif tag == "voice":
            voice = clean(child.text)
        elif tag == "offset":
            moved = child.text, line_of(child) - line
        else:
            others.append((record.path, child))
    _report_repeated(record, element, line)
    shows = bool(contents or others)
    if not shows:
        text = "The direction says nothing; it was left out."
        record.problem("empty-direction", text, line)
    place = Place(0, stave, voice, placement=element.get("placement") or "")
    record.outer = tuple(
        (f"direction-{name}", value) for name, value in element.items() if name != "placement"
    )
    for record.path, child in contents:
        CONTENTS.get(child.tag, unknown)(record, child, place)
    for record.path, child in sorted(others, key=_rank):
        OUTER.get(child.tag, unknown)(record, child, place)
    return AsideSaid(moved, "", shows, stave, voice, tuple(record.acts), tuple(record.faults))


def say_layout(element: Element, line: int) -> AsideSaid:
    """Return what a `<print>` says that begins at a line."""
    record = Record(line)
    place = Place(0, 0)
    record.mark("layout", element.tag, element, place, holds_marks=True)
    for child in record.inside(element):
        record.mark("layout", child.tag, child, place, content(child))
    return AsideSaid(None, "", True, 0, "", tuple(record.acts), (), is_group=False)


def _report_repeated(record: Record, element: Element, line: int) -> None:
    tags = [child.tag for child in element]
    for name in PLACING:
        if tags.count(name) > 1:
            text = f"The direction holds <{name}> more than once; the last one was read."
            record.problem("repeated-element", text, line)


def _rank(other: tuple[str, Element]) -> int:
    # Playback stands last in MusicXML 4.0, whatever the order of the file.
    return AT_THE_END.get(other[1].tag, 0)


def moved_by(walk: Walk, text: str | None, line: int) -> int:
    """Return the place that an `<offset>` tells from where the file stands, in the bar."""
    number = exact(text)
    if number is None:
        walk.problem("bad-offset", f"The offset {text!r} is no number; 0 assumed.", line)
        return walk.cursor
    distance = walk.ticks(str(abs(number.numerator)), line) // number.denominator
    offset = walk.cursor + (distance if number >= 0 else -distance)
    if offset < 0:
        walk.problem(
            "offset-outside-bar",
            "The mark is moved to before its bar; it was read at the bar's beginning.",
            line,
        )
    return max(0, offset)


def read_sound(keeper: Keeper, element: Element, place: Place) -> None:
    """Keep what playback is told: the tempo as a tempo, an instrument change, and the rest."""
    tempo = element.get("tempo")
    if tempo is not None:
        value = decimal(tempo)
        if value is None or value <= 0:
            text = f"The tempo {tempo!r} is not a number above 0; it was left out."
            keeper.problem("bad-tempo", text, line_of(element))
        keeper.mark("tempo", "sound", element, place, tempo, value or 0.0)
    others = [name for name, _ in element.items() if name not in ("tempo", "id")]
    inner = [child for child in element if child.tag not in ("offset", "instrument-change")]
    if others or inner or (tempo is None and element.find("instrument-change") is None):
        keeper.mark("sound", "sound", element, place, content(element))
    for child in keeper.inside(element):
        if child.tag == "instrument-change":
            keeper.mark("instrument", child.tag, child, place, content(child))


def sound_in_bar(walk: Walk, element: Element) -> None:
    """Keep a `<sound>` that stands directly in a bar."""
    shift = element.find("offset")
    offset = walk.cursor if shift is None else moved_by(walk, shift.text, line_of(shift))
    walk.groups += 1
    read_sound(walk, element, Place(offset, 0, "", "", walk.groups))


OUTER["sound"] = read_sound
