"""The same fault at many places is one finding: gather places by bar, then by the parts in them."""

from collections import defaultdict
from collections.abc import Hashable, Iterable, Iterator
from typing import TypeVar

from redstave.model.finding import Spot

Kind = TypeVar("Kind", bound=Hashable)


def gathered(places: Iterable[tuple[Kind, Spot]]) -> Iterator[tuple[Kind, tuple[Spot, ...]]]:
    """Yield groups of spots of one kind: bars in which the same parts are concerned go together.

    A tutti that lacks something in one bar is one group; a part that lacks it in ten bars is one
    group too. Groups come in the order of their first place.
    """
    by_bar: dict[tuple[Kind, int], list[Spot]] = defaultdict(list)
    for kind, spot in places:
        by_bar[kind, spot.bar].append(spot)
    by_parts: dict[tuple[Kind, frozenset[str]], list[Spot]] = defaultdict(list)
    for (kind, _), spots in sorted(by_bar.items(), key=lambda item: item[0][1]):
        by_parts[kind, frozenset(spot.part for spot in spots)] += spots
    for (kind, _), spots in by_parts.items():
        yield kind, tuple(spots)
