"""What a season teaches: the findings that its entries share, and the places that are hard.

A finding that the teacher has dismissed does not count. Places are bars of the set piano piece, so
that entries which begin elsewhere, repeat or cut can be laid one over the other.
"""

from collections import defaultdict
from collections.abc import Iterable, Iterator, Mapping, Sequence
from typing import Any, NamedTuple

from redstave import store
from redstave.app.bar_names import BarNames
from redstave.app.kept_entry import original_of
from redstave.checks import catalogue
from redstave.model.finding import SEVERITY, Claim, Finding
from redstave.model.match import NO_BAR
from redstave.model.remark import Decision, finding_key
from redstave.model.review import Review
from redstave.store import Season

LONGEST = 8  # bars: what goes on for longer is a habit, not a place (common practice, no source)
LEAST_SHARE = 1 / 3  # of the entries have it there, and two at least (common practice, no source)


class Met(NamedTuple):
    """Where an entry has a finding: its code, how many there are, and the key of the first."""

    code: str
    many: int
    key: str


class Shared(NamedTuple):
    """What a check found, in which entries."""

    slug: str
    claim: Claim
    met: tuple[Met, ...]


class HardPlace(NamedTuple):
    """A fault that entries share in the same bars of the piece (indices, both included).

    `there` holds for each of `met` the first bar of the entry that stands for these (index).
    """

    slug: str
    claim: Claim
    first: int
    last: int
    met: tuple[Met, ...]
    there: tuple[int, ...]


class Lessons(NamedTuple):
    """What a season teaches, what most share first.

    `computed` entries count, of which `placed` are known bar by bar beside the piece. `missed`
    tells for each of its bars in how many of these something cannot be played or is at risk.
    """

    computed: int
    shared: tuple[Shared, ...]
    placed: int
    places: tuple[HardPlace, ...]
    missed: tuple[int, ...]


class _Entry(NamedTuple):
    code: str
    review: Review
    findings: tuple[tuple[str, Finding, Claim], ...]  # key, finding, what it claims


def lessons(season: Season) -> Lessons:
    """Return what the entries of a season that are computed have in common."""
    entries = tuple(_entries(season))
    placed = tuple(one for one in entries if one.review.beside)
    bars = 1 + max((bar for one in placed for bar in one.review.beside or ()), default=NO_BAR)
    return Lessons(
        len(entries), tuple(_shared(entries)), len(placed), tuple(_places(placed)),
        _missed(placed, bars),
    )  # fmt: skip


def shared_places(reviews: Iterable[tuple[str, Review]]) -> list[HardPlace]:
    """Return the hard places of reviews under their codes, what most share first."""
    entries = (_Entry(code, one, tuple(_counting(one, set()))) for code, one in reviews)
    return _places(tuple(entries))


def _entries(season: Season) -> Iterator[_Entry]:
    for entry in store.read_entries(season):
        kept = store.newest_review(season, entry.code)
        if kept is None:
            continue
        judged = store.decisions(season, entry.code)
        gone = {key for key, one in judged.items() if one.decision is Decision.DISMISSED}
        yield _Entry(entry.code, kept.review, tuple(_counting(kept.review, gone)))


def _counting(review: Review, gone: set[str]) -> Iterator[tuple[str, Finding, Claim]]:
    """Yield the findings that count, with their keys and claims."""
    for finding in review.findings:
        check = catalogue().get(finding.slug)
        key = finding_key(finding)
        if check is not None and key not in gone:
            yield key, finding, finding.claim or check.claim


def _shared(entries: Iterable[_Entry]) -> list[Shared]:
    found: dict[tuple[str, Claim], dict[str, list[str]]] = defaultdict(lambda: defaultdict(list))
    for entry in entries:
        for key, finding, claim in entry.findings:
            found[finding.slug, claim][entry.code].append(key)
    rows = [Shared(slug, claim, _met(keys)) for (slug, claim), keys in found.items()]
    return sorted(rows, key=lambda row: (-len(row.met), -SEVERITY[row.claim], row.slug))


def _met(keys: Mapping[str, list[str]]) -> tuple[Met, ...]:
    return tuple(Met(code, len(found), found[0]) for code, found in keys.items())


def _places(entries: tuple[_Entry, ...]) -> list[HardPlace]:
    """Return the runs of bars in which enough entries share a fault, what most share first."""
    least = max(2.0, LEAST_SHARE * len(entries))
    reviews = {entry.code: entry.review for entry in entries}
    claims: dict[str, Claim] = {}
    rows = []
    for slug, bars in _by_bar(entries, claims).items():
        for run in _runs(sorted(bar for bar, keys in bars.items() if len(keys) >= least)):
            met = _met(_together(bars[bar] for bar in run))
            there = tuple(_first_of(reviews[one.code], run) for one in met)
            rows.append(HardPlace(slug, claims[slug], run[0], run[-1], met, there))
    return sorted(rows, key=lambda row: (-len(row.met), -SEVERITY[row.claim], row.first, row.slug))


def _by_bar(
    entries: tuple[_Entry, ...], claims: dict[str, Claim]
) -> dict[str, dict[int, dict[str, list[str]]]]:
    """Return the keys of faults by check, bar of the original and entry.

    The gravest claim of each check goes into `claims`.
    """
    found: dict[str, dict[int, dict[str, list[str]]]] = defaultdict(dict)
    for entry in entries:
        for key, finding, claim in entry.findings:
            if claim is Claim.CREDIT:
                continue
            known = claims.get(finding.slug, claim)
            claims[finding.slug] = max(claim, known, key=SEVERITY.__getitem__)
            for bar in _bars_of(finding, entry.review):
                keys = found[finding.slug].setdefault(bar, {}).setdefault(entry.code, [])
                keys.extend([key] if key not in keys else [])
    return found


def _first_of(review: Review, bars: list[int]) -> int:
    """Return the first bar of an entry that stands for one of some bars of the original."""
    return next(at for at, bar in enumerate(review.beside or ()) if bar in bars)


def _bars_of(finding: Finding, review: Review) -> set[int]:
    """Return the bars of the original (indices) in which a finding has a place."""
    beside = review.beside or ()
    return {
        beside[bar]
        for spot in finding.spots
        if spot.last_bar - spot.bar < LONGEST
        for bar in range(spot.bar, spot.last_bar + 1)
        if bar < len(beside) and beside[bar] != NO_BAR
    }


def _together(found: Iterable[Mapping[str, list[str]]]) -> dict[str, list[str]]:
    """Return the keys of a run by entry, each once."""
    keys: dict[str, dict[str, None]] = defaultdict(dict)
    for bar in found:
        for code, here in bar.items():
            keys[code].update(dict.fromkeys(here))
    return {code: list(found) for code, found in keys.items()}


def _runs(bars: list[int]) -> Iterator[list[int]]:
    run: list[int] = []
    for bar in bars:
        if run and bar != run[-1] + 1:
            yield run
            run = []
        run.append(bar)
    if run:
        yield run


def _missed(entries: tuple[_Entry, ...], bars: int) -> tuple[int, ...]:
    counts = [0] * bars
    for entry in entries:
        grave = (one for _, one, claim in entry.findings if SEVERITY[claim] >= SEVERITY[Claim.RISK])
        for bar in {bar for one in grave for bar in _bars_of(one, entry.review)}:
            counts[bar] += 1
    return tuple(counts)


def lessons_json(season: Season) -> dict[str, Any]:
    """Return the lessons of a season as JSON, bars as printed; see docs/season-json.md."""
    found = lessons(season)
    piece = original_of(season)
    names = BarNames(piece, "the piano piece").all if piece else ()
    shared = [_json(row.slug, row.claim, row.met) for row in found.shared]
    return {
        "computed": found.computed,
        "placed": found.placed,
        "places": [
            {**_json(one.slug, one.claim, one.met), "bars": printed(one, names)}
            for one in found.places
        ],
        "missed": [{"bar": names[at], "entries": many} for at, many in enumerate(found.missed)],
        "faults": [row for row in shared if row["claim"] != Claim.CREDIT],
        "earned": [row for row in shared if row["claim"] == Claim.CREDIT],
    }


def printed(place: HardPlace, names: Sequence[str]) -> str:
    """Return the bars of a place as printed: "14" or "14–16"."""
    first, last = names[place.first], names[place.last]
    return first if first == last else f"{first}–{last}"


def _json(slug: str, claim: Claim, met: tuple[Met, ...]) -> dict[str, Any]:
    entries = [{"entry": one.code, "findings": one.many, "key": one.key} for one in met]
    return {"slug": slug, "claim": str(claim), "entries": entries}
