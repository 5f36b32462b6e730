"""Handlers that many elements share: keep an element as a mark, or as the end of a span."""

from collections.abc import Callable

from redstave.reading.element import Element, line_of
from redstave.reading.keeper import Keeper, Place
from redstave.reading.numbers import clean

Handler = Callable[[Keeper, Element, Place], None]
STARTS = frozenset(["start", "crescendo", "diminuendo", "up", "down", "sostenuto"])
STOPS = frozenset(["stop", "discontinue"])


def content(element: Element) -> str:
    """Return what an element says: its text, then each child's name, attributes and content.

    Such as "natural sounding-pitch" or "accord(string=1) tuning-step=E tuning-octave=3".
    """
    text = clean(element.text)
    if not len(element):
        return text
    pieces = [text] if text else []
    for child in element:
        if isinstance(child.tag, str):
            own = " ".join(f"{name}={value}" for name, value in child.items())
            name = f"{child.tag}({own})" if own else child.tag
            inner = content(child)
            pieces.append(f"{name} {inner}" if len(child) else f"{name}={inner}" if inner else name)
    return " ".join(pieces)


def as_mark(kind: str) -> Handler:
    """Return a handler that keeps an element as a mark of the kind, under the element's name."""

    def handle(keeper: Keeper, element: Element, place: Place) -> None:
        keeper.mark(kind, element.tag, element, place, content(element))

    return handle


def as_span(kind: str) -> Handler:
    """Return a handler for the two ends of a span; what lies between them is a mark."""

    def handle(keeper: Keeper, element: Element, place: Place) -> None:
        end = (element.get("type") or "").strip()
        number = element.get("number") or "1"
        if end in STARTS:
            start_span(keeper, kind, element, place, number)
        elif end in STOPS:
            keeper.stop_span(kind, number, element, place, _stop(kind, element, place))
        elif end == "change":
            keeper.stop_span(kind, number, element, place)
            start_span(keeper, kind, element, place, number)
        else:
            _keep_middle(keeper, kind, element, place, end)

    return handle


def start_span(keeper: Keeper, kind: str, element: Element, place: Place, number: str) -> None:
    """Begin a span; its name is the variety that its type tells, "" for a plain start."""
    end = element.get("type") or ""
    text = _text(kind, element)
    attributes = _kept_attributes(element) + ((("text", text),) if text else ())
    name = "" if end == "start" else end
    keeper.start_span(kind, name, number, element, place, attributes)


def _text(kind: str, element: Element) -> str:
    # What a tremolo or a trill's line says is kept with the mark that it is too.
    return "" if kind in ("tremolo", "wavy-line") else content(element)


def _stop(kind: str, element: Element, place: Place) -> tuple[tuple[str, str], ...]:
    """Return what the end of a span says beyond that it ends."""
    end = element.get("type") or ""
    kept = _kept_attributes(element)
    if end != "stop":
        kept += (("type", end),)
    if text := _text(kind, element):
        kept += (("text", text),)
    if place.placement:
        kept += (("direction-placement", place.placement),)
    return kept


def _kept_attributes(element: Element) -> tuple[tuple[str, str], ...]:
    return tuple([item for item in element.items() if item[0] not in ("type", "number")])


def _keep_middle(keeper: Keeper, kind: str, element: Element, place: Place, end: str) -> None:
    keeper.mark("other", element.tag, element, place, end)
    if end not in ("continue", "resume"):
        keeper.problem(
            "bad-type",
            f"This {kind} should say 'start' or 'stop' and says {end!r}; it was left open.",
            line_of(element),
        )


def report_inside(keeper: Keeper, element: Element) -> None:
    """Report what stands in an element that in MusicXML holds no others; it is not kept."""
    for child in element:
        if isinstance(child.tag, str):
            text = f"<{child.tag}> has no meaning inside <{element.tag}>; it was not read."
            keeper.problem("unknown-element", text, line_of(child))


def report_empty(keeper: Keeper, element: Element) -> None:
    """Report an element that should hold others and holds none, if it says something by itself."""
    if not len(element) and (element.items() or clean(element.text)):
        text = f"<{element.tag}> holds nothing; what it says by itself was left out."
        keeper.problem("unknown-element", text, line_of(element))


def unknown(keeper: Keeper, element: Element, place: Place) -> None:
    """Keep an element that MusicXML 4.0 does not have at this place, and report it."""
    if not isinstance(element.tag, str):
        return  # a comment or a processing instruction
    keeper.mark("other", element.tag, element, place, content(element))
    keeper.problem(
        "unknown-element",
        f"<{element.tag}> has no meaning at this place in MusicXML; it was kept unread.",
        line_of(element),
    )
