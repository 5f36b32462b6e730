"""Hand-made values for the tests of this room: a small score, findings, and a whole letter."""

from redstave.model.finding import Claim, Evidence, Finding, NotAssessed, Spot
from redstave.model.score import Bar, Note, Origin, Part, Problem, Score
from redstave.render.places import requests
from redstave.render.sources import cited
from redstave.render.view import (
    Audibility,
    Fact,
    HearingRow,
    LevelRow,
    RemarkView,
    ReviewView,
    WholePiece,
)
from redstave.render.wording import bar_list, part_list, words_for

NAMES = ("Flute 1. 2", "Clarinet in B-flat", "Harp", "Violin I")
FACTS = {
    "notes": "B♭3",
    "reason": "which no single player can hold",
    "side": "below",
    "limit": "B3",
    "others": "Horn 1 and Horn 2",
    "level": "f",
    "missing": "goal",
    "word": "div.",
    "before": "1–4",
    "interval": "a sixth",
}


def score(bars: int = 6, names: tuple[str, ...] = NAMES, title: str = "Quay") -> Score:
    """Return a score with numbered bars and named parts, and one note in each bar."""
    return Score(
        title=title,
        ticks_per_quarter=4,
        bars=tuple(Bar(n, str(n + 1), 12 * n, 12) for n in range(bars)),
        parts=tuple(part(f"P{n}", name, bars) for n, name in enumerate(names, 1)),
        groups=(),
        problems=(),
        origin=Origin("quay.musicxml", "0" * 64, "musicxml"),
    )


def part(name: str, printed: str, bars: int) -> Part:
    """Return a part with one note in each bar."""
    notes = tuple(
        Note(f"{name}.{bar}.0", 0, bar, 0, 12, 1, "1", "pitched", "C", 0.0, 5)
        for bar in range(bars)
    )
    return Part(name, printed, "", 1, (), notes, (), ())


def spot(bar: int, last: int | None = None, part: str = "P1", *notes: str) -> Spot:
    """Return a place by bar index."""
    return Spot(bar, 0, part, 1, bar if last is None else last, notes)


def finding(
    slug: str, *spots: Spot, claim: Claim | None = None, evidence: tuple[Evidence, ...] = ()
) -> Finding:
    """Return a finding that supplies every fact the templates may ask for."""
    return Finding(slug, spots or (spot(0),), evidence, tuple(FACTS.items()), claim)


def remark(found: Finding, anchor: str, of: Score) -> RemarkView:
    """Return a finding as the letter shows it."""
    return RemarkView(
        anchor,
        found.slug,
        found.claim or Claim.RISK,
        words_for(found, of),
        bar_list(found.spots, of),
        part_list(found.spots, of),
        found.evidence,
        requests(found, of),
        ("Common practice",),
    )


def whole(rows: int = 3, bars: int = 6) -> WholePiece:
    """Return hearing rows in which every state occurs, and one level row."""
    states = tuple(Audibility)
    return WholePiece(
        bars=tuple(str(bar + 1) for bar in range(bars)),
        letters=((3, "B"),),
        hearing=tuple(
            HearingRow(
                f"Line {row}", "Woodwind", tuple(states[(row + bar) % 5] for bar in range(bars))
            )
            for row in range(rows)
        ),
        levels=(
            LevelRow(
                "Strings", (2.0, None, *(3.0,) * (bars - 2)), (5.0, None, *(6.0,) * (bars - 2))
            ),
        ),
    )


def review(title: str = "Morning on the Quay", of: Score | None = None) -> ReviewView:
    """Return a whole letter's worth of values with remarks of every claim."""
    known = of or score()
    margin = (
        Evidence("margin above masked threshold", -4.25, "dB", 0.0),
        Evidence("entries", 1, "entries"),
    )
    claims = (
        finding("pitch-outside-instrument", spot(1, 1, "P1", "P1.1.0"), claim=Claim.IMPOSSIBLE),
        finding("tune-covered", spot(0, 3, "P4", "P4.0.0"), claim=Claim.RISK, evidence=margin),
        *(finding("entry-level-missing", spot(bar), claim=Claim.RISK) for bar in range(5)),
        finding("division-not-marked", spot(3, 3, "P4", "P4.3.0"), claim=Claim.QUESTION),
    )
    earned = finding("tune-heard-throughout", spot(0, 5), claim=Claim.CREDIT)
    return ReviewView(
        title=title,
        entry="Blue Heron",
        date="25 November 2026",
        remarks=tuple(remark(one, f"remark-{n}", known) for n, one in enumerate(claims, 1)),
        credits=(remark(earned, "credit-1", known),),
        whole=whole(),
        not_assessed=(NotAssessed("breath-too-long", "no tempo is given"),),
        silent=("stop-needs-same-string",),
        problems=(
            Problem("x", "A hairpin has no end.", 3, "2", "P1"),
            Problem("x", "A hairpin has no end.", 9, "4", "P1"),
        ),
        sources=cited(["common-practice"]),
        provenance=(Fact("Hall", "a hall"),),
        forces="14.12.10.8.6",
    )
