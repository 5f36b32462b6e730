"""Sets into a bar what stands beside its notes; as with notes, each text is read once."""

from collections.abc import Callable
from typing import Any

from redstave.reading.attributes import AttributesSaid, say_attributes, tell_attributes
from redstave.reading.barlines import say_barline
from redstave.reading.blanks import filled, plan_of
from redstave.reading.directions import AsideSaid, moved_by, say_direction, say_layout
from redstave.reading.element import Element, line_of
from redstave.reading.patterns import Pattern
from redstave.reading.told import AsideText, AsideTold
from redstave.reading.walk import Walk

SAY: dict[str, Callable[[Element, int], AsideSaid | AttributesSaid]] = {
    "direction": say_direction,
    "print": say_layout,
    "barline": say_barline,
    "attributes": say_attributes,
}


def read_aside(walk: Walk, element: Element, text: AsideText | None) -> None:
    """Keep what an element says that stands beside notes. `text` is its own, if known."""
    line, told, values = text or (line_of(element), AsideTold(element.tag, Pattern()), ())
    said = told.said or _say(told, element, line, bool(values))
    if told.name == "attributes":
        tell_attributes(walk, said, line)
        return
    acts, faults = said.acts, said.faults
    if told.plan is not None:
        *_, acts, faults = filled(said.open, told.plan, values)
    offset = _offset(walk, said, line)
    walk.tell_faults(faults, line)
    if said.shows:
        walk.groups += said.is_group
        group = walk.groups if said.is_group else 0
        walk.tell(acts, values, line, walk.path, offset, said.stave, said.voice, "", group)


def _say(told: AsideTold, element: Element, line: int, is_blank: bool) -> Any:
    """Return what an aside says that has not been met before."""
    pattern = told.pattern
    if pattern.said is None:
        said, plan = SAY[told.name](element, line), None
        if is_blank and isinstance(said, AsideSaid):
            acts, plan = plan_of(said.open)
            said = said._replace(acts=acts)
        pattern.read(said, plan, len(told.words))
    told.said, told.plan = pattern.told(told.words), pattern.plan
    return told.said


def _offset(walk: Walk, said: AsideSaid, line: int) -> int:
    if said.at == "left":
        return 0
    if said.at == "right":  # where the bar's content ends
        return walk.furthest
    return (
        walk.cursor if said.moved is None else moved_by(walk, said.moved[0], line + said.moved[1])
    )
