"""Which findings explain which: rules as data, applied where bars and parts overlap.

A tune that is covered because the brass stands at its level is not a fault of its own; neither are
forty notes out of the compass where the part is transposed wrongly. The rules and the reason of
each stand in `explains.toml`.
"""

import tomllib
from collections.abc import Callable, Iterator, Sequence
from enum import StrEnum
from functools import cache
from importlib.resources import files
from typing import NamedTuple

from redstave.analysis import Analysis
from redstave.analysis.dynamics import Kind, events
from redstave.base.errors import DataError
from redstave.model.finding import SEVERITY, Claim, Explains, Finding, Spot


class Reach(StrEnum):
    """How near a finding must stand to the one that explains it; see `explains.toml`."""

    BARS = "bars"
    ONWARD = "onward"
    PART = "part"
    SCORE = "score"


class Rule(NamedTuple):
    """One fault and what it brings about.

    `claim` is the least the cause must claim, `needs` names evidence that the others must carry.
    """

    cause: str
    others: frozenset[str]
    reach: Reach
    why: str
    needs: str = ""
    claim: Claim = Claim.QUESTION


@cache
def rules() -> tuple[Rule, ...]:
    """Load the rules; raises DataError for one that is not understood or leads in a circle."""
    text = files("redstave.checks").joinpath("explains.toml").read_text(encoding="utf-8")
    return read_rules(text)


def read_rules(text: str) -> tuple[Rule, ...]:
    """Read rules from TOML text; DataError where a key is wrong or a fault explains itself."""
    found = []
    for table in tomllib.loads(text)["rule"]:
        try:
            others, reach = frozenset(table.pop("others")), Reach(table.pop("reach"))
            claim = Claim(table.pop("claim", Claim.QUESTION))
            found.append(Rule(others=others, reach=reach, claim=claim, **table))
        except (KeyError, TypeError, ValueError) as error:
            raise DataError(f"explains.toml, {table}: {error}") from error
    for rule in found:
        if rule.cause in _brought_about(rule.cause, found):
            raise DataError(f"explains.toml: {rule.cause} explains itself in the end")
    return tuple(found)


def explained(analysis: Analysis, findings: Sequence[Finding]) -> tuple[Explains, ...]:
    """Return which finding (index) explains which other, sorted by cause, then by the other."""
    pairs = {
        Explains(at, other, rule.why)
        for rule in rules()
        for at, cause in enumerate(findings)
        if cause.slug == rule.cause and SEVERITY[cause.claim or rule.claim] >= SEVERITY[rule.claim]
        for other, finding in enumerate(findings)
        if finding.slug in rule.others and _reached(analysis, rule, cause, finding)
    }
    return tuple(sorted(pairs))


def _brought_about(slug: str, found: Sequence[Rule]) -> set[str]:
    """Return all that a fault explains, at whatever remove."""
    reached: set[str] = set()
    waiting = [slug]
    while waiting:
        cause = waiting.pop()
        fresh = {one for rule in found if rule.cause == cause for one in rule.others} - reached
        reached |= fresh
        waiting += fresh
    return reached


def _reached(analysis: Analysis, rule: Rule, cause: Finding, other: Finding) -> bool:
    if rule.needs and all(item.quantity != rule.needs for item in other.evidence):
        return False
    near = _NEAR[rule.reach]
    return all(near(analysis, cause, other, spot) for spot in other.spots)


def _in_bars(_: Analysis, cause: Finding, other: Finding, spot: Spot) -> bool:
    return any(
        one.bar <= spot.last_bar
        and spot.bar <= one.last_bar
        and (one.part == spot.part or one.part in other.context)
        for one in cause.spots
    )


def _in_part(_: Analysis, cause: Finding, __: Finding, spot: Spot) -> bool:
    return any(one.part == spot.part for one in cause.spots)


def _onward(analysis: Analysis, cause: Finding, _: Finding, spot: Spot) -> bool:
    bars = analysis.score.bars
    here = bars[spot.bar].start + spot.offset
    starts = [bars[one.bar].start + one.offset for one in cause.spots if one.part == spot.part]
    told = list(_levels(analysis, spot.part))
    return any(
        start <= here and not any(start <= level <= here for level in told) for start in starts
    )


def _anywhere(_: Analysis, __: Finding, ___: Finding, ____: Spot) -> bool:
    return True


def _levels(analysis: Analysis, part: str) -> Iterator[int]:
    for event in events(analysis.score, analysis.score.parts_by_id[part]):
        if event.kind in (Kind.LEVEL, Kind.BURST):
            yield event.tick


_NEAR: dict[Reach, Callable[[Analysis, Finding, Finding, Spot], bool]] = {
    Reach.BARS: _in_bars,
    Reach.ONWARD: _onward,
    Reach.PART: _in_part,
    Reach.SCORE: _anywhere,
}
