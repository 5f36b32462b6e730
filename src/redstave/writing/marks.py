"""One mark as the element it is in MusicXML."""

import re
from collections.abc import Callable, Iterator

from redstave.model.score import Attributes, Inner, Mark
from redstave.writing.numbers import number

# Attributes of a Mark that are not those of its element, by kind.
SAID_INSIDE = {
    "clef": ("octave-change",),
    "key": ("cancel",),
    "transposition": ("diatonic", "chromatic", "octave-change", "double"),
    "ending": ("printed",),
    "lyric": ("syllabic",),
    "ornament": ("element",),
    "level": ("continues", "from", "within"),
}
SET_FROM_HERE = frozenset(["clef", "key", "meter", "transposition"])
ATTRIBUTES = [  # in the order of MusicXML 4.0
    *("footnote", "level", "divisions", "key", "time", "staves", "part-symbol", "instruments"),
    *("clef", "staff-details", "transpose", "for-part", "directive", "measure-style"),
]
AROUND = ("direction-", "notations-", "bar-style-")  # of the element around the mark
NAMES = {
    "clef": "clef",
    "key": "key",
    "meter": "time",
    "transposition": "transpose",
    "repeat": "repeat",
    "ending": "ending",
    "tremolo": "tremolo",
    "lyric": "lyric",
    "word": "words",
    "instrument": "instrument-change",
}
WORDS_OF_OTHERS = ("directive",)


def mark_element(mark: Mark) -> Inner:
    """Return the element of a mark that stands by itself; levels and barlines have their own."""
    name = mark.name if mark.kind == "word" and mark.name in WORDS_OF_OTHERS else ""
    name = name or NAMES.get(mark.kind, mark.name)
    if mark.kind == "ornament":
        name = dict(mark.attributes).get("element", name)
    inside = mark.inside
    if not inside and not mark.path:
        inside = tuple(_INSIDE.get(mark.kind, _nothing)(mark))
    text = "" if inside else _TEXTS.get(mark.kind, _text)(mark)
    return Inner(name, text, own_attributes(mark), inside)


def is_attribute(mark: Mark) -> bool:
    """Tell whether a mark is set from its place on: it stands in `<attributes>`."""
    if mark.kind in SET_FROM_HERE:
        return True
    if mark.group or mark.note or (mark.kind == "layout" and mark.name != "part-symbol"):
        return False
    return "." in mark.path or (not mark.path and mark.name in ATTRIBUTES)


def rank(element: Inner) -> int:
    """Return the place of an element in `<attributes>`."""
    return ATTRIBUTES.index(element.name) if element.name in ATTRIBUTES else len(ATTRIBUTES)


def own_attributes(mark: Mark) -> Attributes:
    """Return the attributes of a mark's own element."""
    attributes = mark.attributes
    said = SAID_INSIDE.get(mark.kind, ())
    if mark.kind == "transposition":
        said += tuple(child.name for child in mark.inside)
    if said or any(name.startswith(AROUND) for name, _ in attributes):
        attributes = tuple(
            (name, value)
            for name, value in attributes
            if name not in said and not name.startswith(AROUND)
        )
    return attributes + tuple(_unsaid(mark, attributes)) if not mark.path else attributes


def _unsaid(mark: Mark, attributes: Attributes) -> Iterator[tuple[str, str]]:
    """Yield what the fields of a mark tell that came from no file."""
    names = {name for name, _ in attributes}
    if mark.note and mark.placement and "placement" not in names:
        yield "placement", mark.placement
    kind, name = mark.kind, mark.name
    told = {
        "repeat": ("direction", name),
        "ending": ("number", mark.text),
        "tremolo": ("type", name),
    }
    if kind in told and told[kind][0] not in names:
        yield told[kind]
    if kind == "ending" and "type" not in names:
        yield "type", name
    if kind == "meter" and "symbol" not in names and name not in ("time", "senza-misura"):
        yield "symbol", name
    staved = kind in ("clef", "key", "meter", "transposition") and mark.stave > (kind == "clef")
    if staved and "number" not in names:
        yield "number", str(mark.stave)
    if (kind, name) == ("tempo", "sound") and "tempo" not in names:
        yield "tempo", number(mark.value)


def around(mark: Mark, element: str) -> Attributes:
    """Return what the attributes of a mark say of the element around it."""
    begin = f"{element}-"
    return tuple(
        (name.removeprefix(begin), value)
        for name, value in mark.attributes
        if name.startswith(begin)
    )


# What an element says


def _text(mark: Mark) -> str:
    return mark.text


def _no_text(_mark: Mark) -> str:
    return ""


def _nothing(_mark: Mark) -> Iterator[Inner]:
    yield from ()


def _printed(mark: Mark) -> str:
    return dict(mark.attributes).get("printed", "")


def _ornament(mark: Mark) -> str:
    return "" if mark.name == "wavy-line" else mark.text  # its text is its type


def _sound(mark: Mark) -> str:
    return "" if mark.name == "sound" else mark.text


def _strokes(mark: Mark) -> str:
    return number(mark.value)


def _other(mark: Mark) -> str:
    types = [value for name, value in mark.attributes if name == "type"]
    return "" if mark.name in MIDDLES and mark.text in types else mark.text


MIDDLES = frozenset(
    [
        *("wedge", "dashes", "bracket", "octave-shift", "pedal", "wavy-line"),
        *("slur", "tuplet", "glissando", "slide"),
    ]
)
_TEXTS: dict[str, Callable[[Mark], str]] = {
    "tremolo": _strokes,
    "ending": _printed,
    "repeat": _no_text,
    "ornament": _ornament,
    "tempo": _no_text,
    "sound": _sound,
    "other": _other,
}


def _clef(mark: Mark) -> Iterator[Inner]:
    yield Inner("sign", mark.name)
    if line := mark.text.removeprefix(mark.name):
        yield Inner("line", line)
    if shift := dict(mark.attributes).get("octave-change"):
        yield Inner("clef-octave-change", shift)


def _key(mark: Mark) -> Iterator[Inner]:
    if mark.name == "nontraditional":
        for pair in mark.text.split():
            name, _, text = pair.partition("=")
            yield Inner(name, text)
        return
    if cancelled := dict(mark.attributes).get("cancel"):
        yield Inner("cancel", cancelled)
    yield Inner("fifths", number(mark.value))
    if mark.name:
        yield Inner("mode", mark.name)


def _meter(mark: Mark) -> Iterator[Inner]:
    if mark.name == "senza-misura":
        yield Inner("senza-misura")
        return
    for beats, unit in re.findall(r"([^/]+)/([^/+]+)\+?", mark.text):
        yield Inner("beats", beats)
        yield Inner("beat-type", unit)


def _transposition(mark: Mark) -> Iterator[Inner]:
    said = dict(mark.attributes)
    octaves = int(said.get("octave-change", "0"))
    if "diatonic" in said:
        yield Inner("diatonic", said["diatonic"])
    yield Inner("chromatic", number(mark.value - 12 * octaves))
    if octaves:
        yield Inner("octave-change", str(octaves))
    if "double" in said:
        above = () if said["double"] == "no" else (("above", said["double"]),)
        yield Inner("double", "", above)


def _tempo(mark: Mark) -> Iterator[Inner]:
    if mark.name != "metronome":
        return
    for side in mark.text.split(" = "):
        unit = side.rstrip(".")
        if unit in NOTE_VALUES:
            yield Inner("beat-unit", unit)
            for _ in range(len(side) - len(unit)):
                yield Inner("beat-unit-dot")
        else:
            yield Inner("per-minute", side)


NOTE_VALUES = frozenset(
    [
        *("maxima", "long", "breve", "whole", "half", "quarter", "eighth"),
        *("16th", "32nd", "64th", "128th", "256th", "512th", "1024th"),
    ]
)


def _lyric(mark: Mark) -> Iterator[Inner]:
    if syllabic := dict(mark.attributes).get("syllabic"):
        yield Inner("syllabic", syllabic)
    yield Inner("text", mark.text)


def _technical(mark: Mark) -> Iterator[Inner]:
    if mark.name == "harmonic":
        yield from (Inner(word) for word in mark.text.split())


_INSIDE: dict[str, Callable[[Mark], Iterator[Inner]]] = {
    "clef": _clef,
    "key": _key,
    "meter": _meter,
    "transposition": _transposition,
    "tempo": _tempo,
    "lyric": _lyric,
    "technical": _technical,
}
