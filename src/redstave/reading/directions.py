"""What stands above or below the stave: everything inside `<direction>`, and `<sound>`."""

from redstave.reading.element import Element, line_of
from redstave.reading.keep import Handler, as_mark, as_span, content, unknown
from redstave.reading.levels import read_dynamics, read_words
from redstave.reading.notes import stave_number
from redstave.reading.numbers import clean, decimal, exact
from redstave.reading.tempo import read_metronome
from redstave.reading.walk import Place, Walk

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
AT_THE_END = {"sound": 1, "listening": 2}


def read_direction(walk: Walk, element: Element) -> None:
    """Keep every mark of a direction; they share a group."""
    contents: list[tuple[str, Element]] = []
    others: list[tuple[str, Element]] = []
    offset, stave, voice = walk.cursor, 1, ""
    for child in walk.inside(element):
        tag = child.tag
        if tag == "direction-type":
            contents.extend((walk.path, inner) for inner in walk.inside(child))
        elif tag == "staff":
            stave = stave_number(walk, child.text, line_of(child))
        elif tag == "voice":
            voice = clean(child.text)
        elif tag == "offset":
            offset = moved(walk, child)
        else:
            others.append((walk.path, child))
    if not contents and not others:
        text = "The direction says nothing; it was left out."
        walk.problem("empty-direction", text, line_of(element))
        return
    walk.groups += 1
    place = Place(offset, stave, voice, "", walk.groups, element.get("placement") or "")
    walk.outer = tuple(
        (f"direction-{name}", value) for name, value in element.items() if name != "placement"
    )
    for walk.path, child in contents:
        CONTENTS.get(child.tag, unknown)(walk, child, place)
    for walk.path, child in sorted(others, key=_rank):
        OUTER.get(child.tag, unknown)(walk, child, place)
    walk.outer = ()


def _rank(other: tuple[str, Element]) -> int:
    # Playback stands last in MusicXML 4.0, whatever the order of the file.
    return AT_THE_END.get(other[1].tag, 0)


def moved(walk: Walk, element: Element) -> int:
    """Return the place that an `<offset>` tells from where the file stands, in the bar."""
    number = exact(element.text)
    line = line_of(element)
    if number is None:
        walk.problem("bad-offset", f"The offset {element.text!r} is no number; 0 assumed.", line)
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


def read_sound(walk: Walk, element: Element, place: Place) -> None:
    """Keep what playback is told: the tempo as a tempo, an instrument change, and the rest."""
    tempo = element.get("tempo")
    if tempo is not None:
        value = decimal(tempo)
        if value is None or value <= 0:
            text = f"The tempo {tempo!r} is not a number above 0; it was left out."
            walk.problem("bad-tempo", text, line_of(element))
        walk.mark("tempo", "sound", element, place, tempo, value or 0.0)
    others = [name for name, _ in element.items() if name not in ("tempo", "id")]
    inner = [child for child in element if child.tag not in ("offset", "instrument-change")]
    if others or inner or (tempo is None and element.find("instrument-change") is None):
        walk.mark("sound", "sound", element, place, content(element))
    for child in walk.inside(element):
        if child.tag == "instrument-change":
            walk.mark("instrument", child.tag, child, place, content(child))


def sound_in_bar(walk: Walk, element: Element) -> None:
    """Keep a `<sound>` that stands directly in a bar."""
    shift = element.find("offset")
    offset = walk.cursor if shift is None else moved(walk, shift)
    walk.groups += 1
    read_sound(walk, element, Place(offset, 0, "", "", walk.groups))


OUTER["sound"] = read_sound
