"""What stands in elements whose content no field of the Score holds: it is reported, not lost."""

from redstave.reading.element import Element, line_of
from redstave.reading.keeper import Keeper

_LEAVES = (
    "actual-notes alter beam chord cue display-octave display-step divisions dot duration grace "
    "instrument normal-dot normal-notes normal-type octave offset staff stem step tie type voice"
)
# What each element may hold in MusicXML 4.0, of those that are read child by child.
HOLDS: dict[str, frozenset[str]] = {
    **dict.fromkeys(_LEAVES.split(), frozenset()),
    "pitch": frozenset(["step", "alter", "octave"]),
    "rest": frozenset(["display-step", "display-octave"]),
    "unpitched": frozenset(["display-step", "display-octave"]),
    "time-modification": frozenset(["actual-notes", "normal-notes", "normal-type", "normal-dot"]),
    "backup": frozenset(["duration"]),
    "forward": frozenset(["duration", "voice", "staff"]),
}


def report_strangers(keeper: Keeper, element: Element) -> None:
    """Report the elements in an element that it cannot hold, and those in what it holds."""
    if not len(element):
        return
    known = HOLDS.get(element.tag)
    if known is None:
        return
    for child in element:
        if not isinstance(child.tag, str):
            continue  # a comment
        if child.tag in known:
            report_strangers(keeper, child)
        else:
            text = f"<{child.tag}> has no meaning inside <{element.tag}>; it was not read."
            keeper.problem("unknown-element", text, line_of(child))
