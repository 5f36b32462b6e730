"""What a kind of fault is, where it was planted, and whether a review speaks of it there."""

from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass
from random import Random
from typing import NamedTuple

from benchmarks.seeding.page import Copy, Master
from redstave.app import choose
from redstave.checks import run_checks
from redstave.model.finding import Finding

APART = 8  # bars between two plants in one copy, so that neither changes what the other means


class Place(NamedTuple):
    """A place at which a fault can be planted, and what planting it does to a copy.

    The fault lies between two bars (indices) in any of the parts; no parts means anywhere.
    """

    bar: int
    last_bar: int
    parts: tuple[str, ...]
    plant: Callable[[Copy], None]


Find = Callable[[Master], Iterator[Place]]


@dataclass(frozen=True)
class Kind:
    """A kind of fault: what is done to the page, which checks should say so, where it can be."""

    name: str
    slugs: tuple[str, ...]
    scores: tuple[str, ...]
    find: Find


class Result(NamedTuple):
    """How many faults of a kind were planted, and where those are that were not found."""

    kind: Kind
    planted: int
    missed: tuple[str, ...]

    @property
    def recall(self) -> float:
        """The share of planted faults that were found."""
        return 1.0 - len(self.missed) / self.planted if self.planted else 0.0


def spoken(found: Iterable[Finding], place: Place) -> bool:
    """Tell whether a finding stands at a place: in its part, no more than a bar away."""
    return any(
        spot.bar - 1 <= place.last_bar
        and spot.last_bar + 1 >= place.bar
        and (not place.parts or spot.part in place.parts)
        for finding in found
        for spot in finding.spots
    )


def seed(kind: Kind, masters: Iterable[Master], each: int, number: int) -> Result:
    """Plant a kind of fault at up to `each` places of each master and review the copies.

    Places at which the checks speak of the untouched page are passed over, so that whatever they
    say there was not said before.
    """
    checks = choose(only=kind.slugs)
    planted, missed = 0, []
    for of in masters:
        before = run_checks(of.analysis, checks).findings
        places = [place for place in kind.find(of) if not spoken(before, place)]
        chosen = _apart(places, each, Random(f"{number} {kind.name} {of.name}"))
        if not chosen:
            continue
        copy = Copy(of)
        for place in chosen:
            place.plant(copy)
        outcome = run_checks(copy.read(), checks)
        planted += len(chosen)
        missed += [_said(of, place) for place in chosen if not spoken(outcome.findings, place)]
    return Result(kind, planted, tuple(missed))


def _apart(places: list[Place], most: int, random: Random) -> list[Place]:
    """Return some places, at random, no two of which are near each other."""
    random.shuffle(places)
    chosen: list[Place] = []
    for place in places:
        near = any(
            place.bar - APART <= other.last_bar and other.bar - APART <= place.last_bar
            for other in chosen
        )
        if not near and len(chosen) < most:
            chosen.append(place)
    return chosen


def _said(of: Master, place: Place) -> str:
    parts = ", ".join(of.score.parts_by_id[part].name for part in place.parts[:3])
    return f"{of.name} bar {of.score.bars[place.bar].number} {parts}".rstrip()
