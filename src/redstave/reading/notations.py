"""What hangs on a note: everything inside `<notations>`, lyrics, and how the note is played."""

from redstave.reading.element import Element, line_of
from redstave.reading.keep import Handler, as_mark, as_span, content, report_empty, unknown
from redstave.reading.keeper import Keeper, Place
from redstave.reading.levels import read_dynamics
from redstave.reading.numbers import whole

_as_ornament = as_mark("ornament")
_as_wavy_line = as_span("wavy-line")
_as_tremolo_span = as_span("tremolo")


def _family(handlers: dict[str, Handler], usual: Handler) -> Handler:
    """Return a handler for an element whose children are the marks."""

    def handle(keeper: Keeper, element: Element, place: Place) -> None:
        report_empty(keeper, element)
        placement = element.get("placement") or ""
        placed = place if place.placement == placement else place._replace(placement=placement)
        for child in keeper.inside(element):
            handlers.get(child.tag, usual)(keeper, child, placed)

    return handle


def _wavy_line(keeper: Keeper, element: Element, place: Place) -> None:
    # A mark, because it is an ornament of this note, and the end of a span.
    keeper.mark("ornament", element.tag, element, place, element.get("type") or "")
    _as_wavy_line(keeper, element, place)


def _tremolo(keeper: Keeper, element: Element, place: Place) -> None:
    kind = element.get("type") or "single"
    strokes = whole(element.text)
    if strokes is None and kind != "unmeasured":
        keeper.problem(
            "bad-tremolo",
            f"The tremolo has {element.text!r} strokes, not a number; 3 were assumed.",
            line_of(element),
        )
        strokes = 3
    keeper.mark("tremolo", kind, element, place, value=float(strokes or 0))
    if kind in ("start", "stop"):
        _as_tremolo_span(keeper, element, place)


def _lyric(keeper: Keeper, element: Element, place: Place) -> None:
    words = [
        (child.text or "").strip() or "_"
        for child in element
        if child.tag in ("text", "elision", "humming", "laughing", "extend")
    ]
    syllabic = (element.findtext("syllabic") or "").strip()
    attributes = (*element.items(), *((("syllabic", syllabic),) if syllabic else ()))
    keeper.mark(
        "lyric", element.get("number") or "1", element, place, "".join(words), 0, attributes
    )


def _fermata(keeper: Keeper, element: Element, place: Place) -> None:
    keeper.mark("fermata", element.tag, element, place, content(element))


def _other_articulation(keeper: Keeper, element: Element, place: Place) -> None:
    # Some programs write ornaments as articulations of another kind; the sign tells (SMuFL 1.4).
    name = ORNAMENT_SIGNS.get(element.get("smufl") or "")
    if name is None:
        keeper.mark("articulation", element.tag, element, place, content(element))
        return
    attributes = (*element.items(), ("element", element.tag))
    keeper.mark("ornament", name, element, place, content(element), 0.0, attributes)


ORNAMENT_SIGNS = {
    "ornamentTrill": "trill-mark",
    "ornamentMordent": "mordent",
    "ornamentShortTrill": "inverted-mordent",
    "ornamentTurn": "turn",
    "ornamentTurnInverted": "inverted-turn",
}
NOTATIONS: dict[str, Handler] = {
    "slur": as_span("slur"),
    "tuplet": as_span("tuplet"),
    "glissando": as_span("glissando"),
    "slide": as_span("slide"),
    "articulations": _family(
        {
            "breath-mark": as_mark("breath"),
            "caesura": as_mark("breath"),
            "other-articulation": _other_articulation,
        },
        as_mark("articulation"),
    ),
    "ornaments": _family({"tremolo": _tremolo, "wavy-line": _wavy_line}, _as_ornament),
    "technical": _family({}, as_mark("technical")),
    "dynamics": read_dynamics,
    "fermata": _fermata,
    "arpeggiate": as_mark("arpeggio"),
    "non-arpeggiate": as_mark("arpeggio"),
    "accidental-mark": as_mark("other"),
    "other-notation": as_mark("other"),
    "footnote": as_mark("other"),
    "level": as_mark("other"),
    "lyric": _lyric,
    "play": as_mark("sound"),
    "listen": as_mark("sound"),
}


def read_notation(keeper: Keeper, element: Element, place: Place) -> None:
    """Keep one element that hangs on a note."""
    NOTATIONS.get(element.tag, unknown)(keeper, element, place)
