"""Faults planted in masters' scores, and how many of them a review finds.

Each kind of fault is planted by changing real scores at places drawn at random (seeded) among those
where the page allows it; the copy is then read and reviewed anew. A fault counts as found when the
expected check speaks in its part within a bar of it, and did not speak there before. Then how often
checks speak of the untouched masters: each finding counts, credits left out.
"""

from collections import Counter
from collections.abc import Iterator
from functools import cache
from pathlib import Path
from statistics import mean

from benchmarks.seeding.catalogue import KINDS
from benchmarks.seeding.kind import Kind, Result, seed
from benchmarks.seeding.page import Master, master
from redstave.app import choose
from redstave.checks import catalogue, run_checks
from redstave.model.finding import Claim

ROOT = Path(__file__).resolve().parents[2] / "shared" / "scores"
SEED, IN_ALL = 11, 12
GOALS = {Claim.IMPOSSIBLE: 0.95, Claim.RISK: 0.85, Claim.QUESTION: 0.75}
MOST = {Claim.IMPOSSIBLE: "0.5", Claim.RISK: "6", Claim.QUESTION: ""}


@cache
def opened(name: str) -> Master:
    """Return a master's score; FileNotFoundError where the scores are not there."""
    return master(ROOT / name)


def results(kinds: tuple[Kind, ...] = KINDS, number: int = SEED) -> Iterator[Result]:
    """Plant every kind and yield how much of it was found."""
    for kind in kinds:
        each = max(2, -(-IN_ALL // len(kind.scores)))
        yield seed(kind, [opened(name) for name in kind.scores], each, number)


def recall_table() -> str:
    """Return a row for each kind of fault, and the mean recall for each kind of claim."""
    rows = [
        "| fault | expected | claim | planted | found | recall |",
        "|---|---|---|---:|---:|---:|",
    ]
    by_claim: dict[Claim, list[Result]] = {claim: [] for claim in GOALS}
    for one in results():
        claim = catalogue()[one.kind.slugs[0]].claim
        by_claim[claim].append(one)
        rows.append(
            f"| {one.kind.name} | {', '.join(one.kind.slugs)} | {claim} | {one.planted} "
            f"| {one.planted - len(one.missed)} | {one.recall:.2f} |"
        )
    for claim, some in by_claim.items():
        planted, recall = sum(one.planted for one in some), mean(one.recall for one in some)
        found = planted - sum(len(one.missed) for one in some)
        rows.append(
            f"| **all, mean of kinds** | goal {GOALS[claim]:.2f} | {claim} | {planted} | {found} "
            f"| {recall:.2f} |"
        )
    return "\n".join(rows)


def untouched() -> tuple[Counter[Claim], int]:
    """Return how many findings of each claim all checks have on the masters, and their bars."""
    found: Counter[Claim] = Counter()
    bars = 0
    for path in masters():
        analysis = master(path).analysis
        bars += len(analysis.score.bars)
        outcome = run_checks(analysis, choose())
        found.update(one.claim for one in outcome.findings if one.claim is not None)
    return found, bars


def masters() -> list[Path]:
    """Return the untouched scores; FileNotFoundError where they are not there."""
    paths = sorted([*(ROOT / "orchestra").glob("*"), *(ROOT / "shared-staves").glob("*")])
    if not paths:
        raise FileNotFoundError(f"no scores in {ROOT}")
    return paths


def precision_table() -> str:
    """Return how often each kind of claim is made of masters' scores."""
    found, bars = untouched()
    rows = [
        "| claim | findings | bars | findings in 100 bars | goal, at most |",
        "|---|---:|---:|---:|---:|",
    ]
    rows += [
        f"| {claim} | {found[claim]} | {bars} | {100 * found[claim] / bars:.2f} | {most} |"
        for claim, most in MOST.items()
    ]
    return "\n".join(rows)


def table() -> str:
    """Return both tables; FileNotFoundError where the scores are not there."""
    return f"{recall_table()}\n\n{precision_table()}"
