"""What the children of a `<note>` say, beside its pitch and its length."""

from collections.abc import Callable
from typing import NamedTuple

from redstave.model.score import Attributes, Inner
from redstave.reading.element import Element, line_of
from redstave.reading.inner import inner
from redstave.reading.keep import content, report_empty, report_inside
from redstave.reading.keeper import Keeper
from redstave.reading.numbers import clean, whole
from redstave.reading.ties import Tied

_new = tuple.__new__  # for what is made ten thousand times: see `redstave.reading.walk`


class Hanging(NamedTuple):
    """An element that hangs on a note: its path, and the attributes of the element around it."""

    path: str
    element: Element
    outer: Attributes = ()


class Draft:
    """What some children have said so far; the class holds what goes without saying."""

    let_ring = False
    slash = False
    whole_bar = False
    actual = 1
    normal = 1
    instrument = ""
    tie_start = False
    tie_stop = False
    tied_starts: tuple[Tied, ...] = ()
    tied_stops: tuple[Tied, ...] = ()
    tie_path = ""  # of the last `<tie>`
    beams = 0
    odd: frozenset[str] = frozenset()  # names of children that say more than the note's fields hold

    def __init__(self) -> None:
        self.details: list[tuple[str, str]] = []
        self.inside: list[Inner] = []
        self.later: list[Hanging] = []
        self.last: list[Hanging] = []


NORMAL = ("normal-type", "normal-dot")
TUPLET = frozenset(["actual-notes", "normal-notes", *NORMAL])
UNSAID = Draft()
Handler = Callable[[Keeper, Draft, Element], None]


def _rest(_keeper: Keeper, draft: Draft, element: Element) -> None:
    draft.whole_bar = element.get("measure") == "yes"
    for child in element.iterchildren("display-step", "display-octave"):
        draft.details += ((child.tag, child.text or ""),)


def _grace(_keeper: Keeper, draft: Draft, element: Element) -> None:
    draft.slash = element.get("slash") == "yes"
    draft.details += tuple((f"grace-{name}", value) for name, value in element.items())


def _detail_with_attributes(_keeper: Keeper, draft: Draft, element: Element) -> None:
    name = element.tag
    draft.details.append((name, content(element)))
    draft.details += [(f"{name}-{key}", value) for key, value in element.items()]


def _plain_detail(_keeper: Keeper, draft: Draft, element: Element) -> None:
    draft.details += ((element.tag, content(element)),)
    if len(element) or element.items():
        draft.odd |= {element.tag}


def _beam(_keeper: Keeper, draft: Draft, element: Element) -> None:
    draft.details.append((element.tag, clean(element.text)))
    draft.beams += 1
    if len(element.keys()) != 1 or element.get("number") != str(draft.beams):
        draft.odd |= {element.tag}


def _instrument(_keeper: Keeper, draft: Draft, element: Element) -> None:
    if draft.instrument:
        draft.odd |= {element.tag}
    draft.instrument = element.get("id") or ""


def _time_modification(keeper: Keeper, draft: Draft, element: Element) -> None:
    said = {child.tag: child.text for child in element}
    if len(element) > len(said) or not said.keys() <= TUPLET:
        draft.odd |= {element.tag}
    actual, normal = whole(said.pop("actual-notes", None)), whole(said.pop("normal-notes", None))
    if not actual or not normal or actual < 0 or normal < 0:
        keeper.problem(
            "bad-tuplet",
            f"The proportion {content(element)!r} of the tuplet is none; 1 to 1 was assumed.",
            line_of(element),
        )
        return
    draft.actual, draft.normal = actual, normal
    draft.details += tuple((name, said[name] or "") for name in NORMAL if name in said)


def _sound_tie(keeper: Keeper, draft: Draft, element: Element) -> None:
    kind = element.get("type")
    draft.tie_path = keeper.path
    if len(element.keys()) > 1:
        draft.odd |= {element.tag}
    if kind == "start":
        draft.tie_start = True
    elif kind == "stop":
        draft.tie_stop = True
    elif kind == "let-ring":
        draft.let_ring = True
    else:
        _bad_tie(keeper, element, kind)


def _tied(keeper: Keeper, draft: Draft, element: Element, outer: Attributes) -> None:
    kind = element.get("type")
    report_inside(keeper, element)
    items = element.items()
    own = tuple([item for item in items if item[0] != "type"]) if len(items) > 1 else ()
    tied = Tied(keeper.path, own + outer)
    if kind == "let-ring":
        draft.let_ring = True
        if own:
            draft.inside += (inner(element),)
    elif kind not in ("start", "stop", "continue"):
        _bad_tie(keeper, element, kind)
    if kind in ("start", "continue"):
        draft.tie_start = True
        draft.tied_starts += (tied,)
    if kind in ("stop", "continue"):
        draft.tie_stop = True
        draft.tied_stops += (tied if kind == "stop" else Tied(keeper.path),)


def _bad_tie(keeper: Keeper, element: Element, kind: str | None) -> None:
    keeper.problem(
        "bad-type",
        f"A tie should say 'start' or 'stop' and says {kind!r}; it was left out.",
        line_of(element),
    )


def _notations(keeper: Keeper, draft: Draft, element: Element) -> None:
    report_empty(keeper, element)
    outer = tuple([(f"notations-{key}", value) for key, value in element.items()])
    for child in keeper.inside(element):
        if child.tag == "tied":
            _tied(keeper, draft, child, outer)
        else:
            draft.later.append(_new(Hanging, (keeper.path, child, outer)))


def keep_for_later(keeper: Keeper, draft: Draft, element: Element) -> None:
    """Leave an element that hangs on the note until the note's place is known."""
    draft.later += (Hanging(keeper.path, element),)


def _keep_for_the_end(keeper: Keeper, draft: Draft, element: Element) -> None:
    # Words and playback stand behind the notations in MusicXML, whatever the order of the file.
    draft.last += (Hanging(keeper.path, element),)


HANDLERS: dict[str, Handler] = {
    "rest": _rest,
    "grace": _grace,
    "tie": _sound_tie,
    "time-modification": _time_modification,
    "notations": _notations,
    "instrument": _instrument,
    "beam": _beam,
    "accidental": _detail_with_attributes,
    "notehead": _detail_with_attributes,
    "notehead-text": _plain_detail,
    "footnote": _plain_detail,
    "level": _plain_detail,
    "lyric": _keep_for_the_end,
    "play": _keep_for_the_end,
    "listen": _keep_for_the_end,
}
