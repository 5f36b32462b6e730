"""Rests as long as bars: MEI writes many bars as one measure, and a bar's rest without a length."""

from collections import Counter
from collections.abc import Sequence
from fractions import Fraction

from lxml import etree

from redstave.reading.mei.values import BarSigns, Event, PartBar, events_of
from redstave.reading.numbers import whole

Element = etree._Element
OTHERS = ("note", "chord", "rest", "mRest", "space", "mSpace")
LONGEST = 1000  # bars; no part is silent for longer at a stretch


def bars_of(measure: Element, left_out: Counter[str]) -> int:
    """Return how many bars a measure stands for: as many as all its staves are silent for.

    Where some stave plays on, or they do not agree, it is one bar, and that is told as left out.
    """
    rests = list(measure.iterfind("staff/layer/multiRest"))
    if not rests:
        return 1
    layers = len(list(measure.iterfind("staff/layer")))
    others = [one for layer in measure.iterfind("staff/layer") for one in layer.iter(*OTHERS)]
    numbers = {whole(rest.get("num") or "1") for rest in rests}
    number = numbers.pop() if len(numbers) == 1 else None
    if not others and len(rests) == layers and number is not None and 1 <= number <= LONGEST:
        return number
    left_out["rest of many bars beside other music"] += 1
    return 1


def fit_rests(bars: Sequence[PartBar]) -> None:
    """Make the rests of a bar that does not fill its metre as long as what stands beside them."""
    events = [event for bar in bars for event in events_of(bar)]
    ends = [event.onset + event.duration for event in events if not event.whole_bar]
    for event in events:
        if event.whole_bar and max(ends, default=Fraction(0)) > 0:
            event.duration = max(ends)


def later_signs(first: BarSigns, bars: int) -> list[BarSigns]:
    """Return the signs of the other bars of a rest; what ends at its right moves to the last."""
    number = whole(first.number)
    signs = [
        BarSigns("" if number is None else str(number + further), first.implicit)
        for further in range(1, bars)
    ]
    if signs:
        signs[-1].right, first.right = first.right, ""
        signs[-1].ending_stops, first.ending_stops = first.ending_stops, ""
    return signs


def silent_bar(bar: PartBar, lengths: dict[int, Fraction]) -> PartBar:
    """Return a bar as silent as this one; `lengths` are those of the part's staves."""
    silent = PartBar()
    for stave, voice in bar.layers:
        silence = Event(Fraction(0), lengths[stave], whole_bar=True, stave=stave)
        silent.layers[stave, voice] = [silence]
    return silent
