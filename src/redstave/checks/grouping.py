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


def joined(spots: Iterable[Spot]) -> tuple[Spot, ...]:
    """Join the spots of one stave that stand in the same bar or in bars that follow each other.

    The result is in the order of the page: by bar, then as the staves first came.
    """
    by_stave: dict[tuple[str, int], list[Spot]] = {}
    for spot in spots:
        by_stave.setdefault((spot.part, spot.stave), []).append(spot)
    runs = [run for on_stave in by_stave.values() for run in _runs(on_stave)]
    return tuple(sorted(runs, key=lambda run: run.bar))


def _runs(on_stave: list[Spot]) -> Iterator[Spot]:
    run: Spot | None = None
    for spot in sorted(on_stave, key=lambda one: (one.bar, one.offset)):
        if run is not None and spot.bar <= run.last_bar + 1:
            notes = tuple(dict.fromkeys((*run.notes, *spot.notes)))
            run = run._replace(last_bar=max(run.last_bar, spot.last_bar), notes=notes)
            continue
        if run is not None:
            yield run
        run = spot
    if run is not None:
        yield run
