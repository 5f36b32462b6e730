"""What a whole season teaches: which findings most entries share, and what most have earned."""

from collections import defaultdict
from typing import Any, NamedTuple

from redstave import store
from redstave.app.desk.margin import CLAIMS
from redstave.app.desk.season_page import family_name
from redstave.checks import catalogue
from redstave.model.finding import SEVERITY, Claim, Finding
from redstave.model.remark import Decision, finding_key
from redstave.store import Season

Json = dict[str, Any]


class Place(NamedTuple):
    """Where an entry has findings of a check: its code, how many, and the key of the first."""

    code: str
    many: int
    key: str


def lessons_page(season: Season) -> Json:
    """Return for each check the entries in which it found something, what most share first.

    Findings that the teacher has dismissed do not count.
    """
    entries = store.read_entries(season)
    found: dict[tuple[str, Claim], list[Place]] = defaultdict(list)
    computed = 0
    for entry in entries:
        kept = store.newest_review(season, entry.code)
        if kept is None:
            continue
        computed += 1
        judged = store.decisions(season, entry.code)
        dismissed = {key for key, one in judged.items() if one.decision is Decision.DISMISSED}
        for kind, keys in _by_check(kept.review.findings, dismissed).items():
            found[kind].append(Place(entry.code, len(keys), keys[0]))
    rows = [_row(slug, claim, places) for (slug, claim), places in found.items()]
    rows.sort(key=lambda row: (-len(row["places"]), -SEVERITY[row["claim"]], row["name"]))
    return {
        "computed": computed,
        "faults": [row for row in rows if row["claim"] is not Claim.CREDIT],
        "earned": [row for row in rows if row["claim"] is Claim.CREDIT],
    }


def _by_check(
    findings: tuple[Finding, ...], dismissed: set[str]
) -> dict[tuple[str, Claim], list[str]]:
    """Return the keys of the findings that count, by check and claim."""
    keys: dict[tuple[str, Claim], list[str]] = defaultdict(list)
    for finding in findings:
        check = catalogue().get(finding.slug)
        key = finding_key(finding)
        if check is not None and key not in dismissed:
            keys[finding.slug, finding.claim or check.claim].append(key)
    return keys


def _row(slug: str, claim: Claim, places: list[Place]) -> Json:
    return {
        "slug": slug,
        "name": slug.replace("-", " "),
        "family": family_name(catalogue()[slug].family),
        "claim": claim,
        "called": CLAIMS[claim][0],
        "sign": CLAIMS[claim][1],
        "places": places,
        "many": sum(place.many for place in places),
    }
