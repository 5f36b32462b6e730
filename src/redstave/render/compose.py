"""From a finished review and its analysis to everything its letter shows."""

import re
from collections.abc import Sequence
from dataclasses import replace

from redstave.analysis import Analysis
from redstave.checks import catalogue
from redstave.model.finding import Claim, Finding
from redstave.model.review import Provenance, Review
from redstave.model.score import Score
from redstave.players.calling import names_player
from redstave.render.hearing_rows import hearing_rows
from redstave.render.ink import rehearsal_letters
from redstave.render.level_plan import level_rows
from redstave.render.open_questions import open_questions, open_themes
from redstave.render.origin_view import origin_view
from redstave.render.places import Sounding, requests
from redstave.render.sources import cited
from redstave.render.view import (
    Fact,
    Link,
    RemarkView,
    ReviewView,
    WholePiece,
)
from redstave.render.wording import bar_list, bar_name, part_list, words_for

MOST_ON_A_THEME = 4  # open questions told in a letter; `redstave facts` tells them all


def compose(review: Review, analysis: Analysis, date: str) -> ReviewView:
    """Gather the letter of one entry; `date` is printed as it is given."""
    sounding = sounding_bars(analysis.score)
    remarks = _linked(review, _remarks(review.faults, analysis, "remark", sounding))
    earned = _remarks(review.credits, analysis, "credit", sounding)
    checks = {finding.slug for finding in review.findings} & catalogue().keys()
    keys = sorted({key for slug in checks for key in catalogue()[slug].sources})
    return ReviewView(
        title=review.title or review.entry,
        entry=review.entry,
        date=date,
        remarks=remarks,
        credits=earned,
        whole=whole_piece(analysis),
        not_assessed=review.not_assessed,
        silent=review.silent,
        problems=analysis.score.problems,
        themes=open_themes(open_questions(analysis), analysis.score, MOST_ON_A_THEME),
        sources=cited(keys),
        provenance=tuple(_provenance(review.provenance)),
        forces=review.provenance.forces,
        left_out=review.left_out,
        origin=origin_view(analysis),
        untried=review.untried,
    )


def whole_piece(analysis: Analysis) -> WholePiece:
    """Return the piece as one picture: hearing by line and bar, levels by family and bar."""
    score = analysis.score
    return WholePiece(
        bars=tuple(bar_name(bar.index, score) for bar in score.bars),
        letters=rehearsal_letters(score),
        hearing=hearing_rows(analysis),
        levels=level_rows(score, analysis.playing),
    )


def _linked(review: Review, remarks: Sequence[RemarkView]) -> tuple[RemarkView, ...]:
    """Add to the remarks on the faults their rank, what explains what, and the ways out tried."""
    view = {id(one): remark for one, remark in zip(review.faults, remarks, strict=True)}
    ranks = {id(one): rank for rank, one in enumerate(review.by_consequence)}

    def link(other: Finding, why: str = "") -> Link:
        there = view[id(other)]
        return Link(there.anchor, there.words.title, there.bars, why)

    return tuple(
        replace(
            remark,
            tried=review.ways_of(finding),
            rank=ranks[id(finding)],
            explains=tuple(link(other) for other in review.explained(finding)),
            explained_by=tuple(link(cause, why) for cause, why in review.explained_by(finding)),
        )
        for finding, remark in zip(review.faults, remarks, strict=True)
    )


def _remarks(
    findings: Sequence[Finding], analysis: Analysis, name: str, sounding: Sounding
) -> tuple[RemarkView, ...]:
    return tuple(
        _remark(finding, analysis, f"{name}-{number}", sounding)
        for number, finding in enumerate(findings, 1)
    )


def _remark(finding: Finding, analysis: Analysis, anchor: str, sounding: Sounding) -> RemarkView:
    check = catalogue().get(finding.slug)
    score = analysis.score
    claim = finding.claim or (check.claim if check else Claim.QUESTION)
    placed = any(spot.notes for spot in finding.spots)
    shown = placed or claim is not Claim.CREDIT  # a credit for whole sections needs no picture
    return RemarkView(
        anchor=anchor,
        slug=finding.slug,
        claim=claim,
        words=words_for(finding, score),
        bars=bar_list(finding.spots, score),
        parts=part_list(finding.spots, score),
        evidence=finding.evidence,
        requests=requests(finding, score, beside_parts(finding, analysis), sounding)
        if shown
        else (),
        sources=tuple(source.title for source in cited(check.sources)) if check else (),
    )


def beside_parts(finding: Finding, analysis: Analysis) -> tuple[str, ...]:
    """Return the parts of the lines a finding names as `others`, in the order of the page."""
    named = re.split(r", | and ", dict(finding.facts).get("others", ""))
    parts = {
        line.part
        for line in analysis.playing.lines
        if any(names_player(name, line.name) for name in named)
    }
    return tuple(part.id for part in analysis.score.parts if part.id in parts)


def sounding_bars(score: Score) -> dict[str, frozenset[int]]:
    """Return the bars (indices) in which each part has anything but rests."""
    return {
        part.id: frozenset(note.bar for note in part.notes if note.kind != "rest")
        for part in score.parts
    }


#: What a file's format keeps from the reader, by its name in the provenance.
POORER = {
    "mei": " (turned into MusicXML: some marks may be missing)",
    "kern": " (turned into MusicXML: some marks may be missing)",
    "midi": " (holds no page: no slurs, marks, words or spelling could be judged; levels are "
    "estimated from how hard tones are struck, where that differs)",
}


def _provenance(made: Provenance) -> list[Fact]:
    changed = "; ".join(f"{slug}: {name} = {value:g}" for slug, name, value in made.settings)
    return [
        Fact("File", f"{made.format}{POORER.get(made.format, '')}, SHA-256 {made.sha256}"),
        *([Fact("Original", f"SHA-256 {made.original}")] if made.original else []),
        Fact("Redstave", f"{made.redstave}, instrument data {made.data_edition}"),
        Fact("Forces", made.forces),
        Fact("Hall", made.hall),
        Fact("Players", made.players),
        Fact("Changed settings", changed or "none"),
        Fact("Checks run", str(len(made.checks))),
    ]
