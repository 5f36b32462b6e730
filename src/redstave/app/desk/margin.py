"""Findings and remarks as they stand in the margin: words, and every place with its notes."""

from collections import defaultdict
from collections.abc import Iterable, Iterator, Mapping, Sequence
from typing import Any

from redstave import store
from redstave.app.desk.opened import Opened
from redstave.app.wordings import place_of
from redstave.checks import catalogue
from redstave.model.finding import Claim, Finding, Spot
from redstave.model.remark import Decision, Remark, RemarkKind, finding_key
from redstave.model.season import Judged
from redstave.render.figures import figures
from redstave.render.wording import (
    bar_list,
    kept_words,
    part_list,
    sentence,
)
from redstave.store import Season

Json = dict[str, Any]

NEARLY_ALL = 0.9  # of the bars
#: Families and checks whose findings speak of whole bars, told on the top stave.
_OF_BARS = frozenset(
    {"form", "origin", "earned", "intake", "bar-duration-wrong", "tempo-absent-or-misplaced"}
    | {"rehearsal-marks-sparse", "tune-heard-throughout"}
)

#: What the margin calls a claim, and the sign it has; the sign says the same without colour.
CLAIMS = {
    Claim.IMPOSSIBLE: ("cannot be played", "✕"),
    Claim.RISK: ("risk", "!"),
    Claim.QUESTION: ("question", "?"),
    Claim.CREDIT: ("earned", "✓"),
}
#: What the margin calls a remark by what it does.
KINDS = {
    RemarkKind.PRAISE: ("Your praise", "✓"),
    RemarkKind.QUESTION: ("Your question", "?"),
    RemarkKind.WAY_OUT: ("Your way out", "→"),
    RemarkKind.FIX: ("To be mended", "✕"),
}


def margin_notes(season: Season, opened: Opened) -> list[Json]:
    """Return what stands in the margin in order of place: findings and the teacher's own remarks.

    A finding has `decision` and `reason`, and the `remark` that was made of it, if any; an own
    remark has no finding (`key` is "").
    """
    judged = store.decisions(season, opened.code)
    joined = _joined(opened, judged)
    remarks = {
        one.id: remark_note(opened, one) | {"joined": joined.get(one.id, [])}
        for one in _standing(season, opened)
    }
    found = []
    for note in opened.once(findings_of):
        decision = judged.get(note["key"])
        made = remarks.get(decision.remark) if decision else None
        if made and made["finding"] != note["key"]:
            continue  # merged: its places are the remark's now
        found.append(note | _decided(decision, made))
    own = [one for one in remarks.values() if not one["finding"]]
    alone = [{"key": "", **_where(one), "remark": one} for one in own]
    return sorted([*found, *alone], key=_place_of)


def _joined(opened: Opened, judged: Mapping[str, Judged]) -> dict[str, list[Json]]:
    """Return by remark the findings that were joined to it: their keys and what they say."""
    found: dict[str, list[Json]] = defaultdict(list)
    for note in opened.once(findings_of):
        decision = judged.get(note["key"])
        if decision is not None and decision.decision is Decision.MERGED:
            found[decision.remark].append({"key": note["key"], "title": note["title"]})
    return found


def _standing(season: Season, opened: Opened) -> list[Remark]:
    """Return the remarks on the version that is open."""
    newest = store.read_entry(season, opened.code).newest.number
    kept = (one.remark for one in store.read_remarks(season, opened.code))
    return [remark for remark in kept if remark.version == newest]


def _decided(decision: Judged | None, made: Json | None) -> Json:
    """Return what became of a finding; the places of its remark are the remark's.

    It is open again where the remark that it had become part of was taken back.
    """
    lost = decision is not None and decision.decision is Decision.MERGED and made is None
    said: Json = {
        "decision": str(decision.decision if decision and not lost else Decision.OPEN),
        "reason": decision.reason if decision else "",
        "remark": made,
    }
    return said | (_where(made) if made else {})


def _where(remark: Json) -> Json:
    return {"places": remark["places"], "whole": remark["whole"]}


def findings_of(opened: Opened) -> list[Json]:
    """Return every finding in order of place, in words, with its places and its evidence."""
    return [_note(opened, finding) for finding in opened.review.findings]


def remark_note(opened: Opened, remark: Remark) -> Json:
    """Return a remark as the margin shows it."""
    return {
        "id": remark.id,
        "kind": str(remark.kind),
        "called": KINDS[remark.kind][0],
        "sign": KINDS[remark.kind][1],
        "text": remark.text,
        "why": remark.why,
        "way_out": remark.way_out,
        "criterion": remark.criterion,
        "weight": str(remark.weight),
        "revision": remark.revision,
        "place": remark.place or place_of(remark.spots, opened.analysis.score),
        "finding": remark.finding,
        "places": list(_places(opened, remark.spots)),
        "whole": of_the_whole(opened, remark.spots),
    }


def _place_of(note: Json) -> tuple[int, str]:
    return min((place["first"] for place in note["places"]), default=-1), note["key"]


def _note(opened: Opened, finding: Finding) -> Json:
    score = opened.analysis.score
    check = catalogue().get(finding.slug)
    claim = finding.claim or (check.claim if check else Claim.QUESTION)
    words = kept_words(finding, opened.analysis.score)
    spots = _without_stave(opened, finding, check.family if check else "")
    return {
        "key": finding_key(finding),
        "slug": finding.slug,
        "family": check.family if check else "",
        "claim": str(claim),
        "kind": CLAIMS[claim][0],
        "sign": CLAIMS[claim][1],
        "title": words.title,
        "says": sentence(words, claim),
        "why": words.why,
        "way_out": "" if claim is Claim.CREDIT else words.way_out,
        "tried": list(opened.review.ways_of(finding)),
        "evidence": [
            {"quantity": one.name, "value": one.found, "limit": one.limit}
            for one in figures(finding.evidence)
        ],
        "bars": bar_list(spots, score),
        "parts": part_list(spots, score),
        "places": list(_places(opened, spots)),
        "whole": of_the_whole(opened, spots),
    }


def _without_stave(opened: Opened, finding: Finding, family: str) -> Sequence[Spot]:
    """Return the places of a finding; those of whole bars belong to no part."""
    if not {family, finding.slug} & _OF_BARS:
        return finding.spots
    top = opened.analysis.score.parts[0].id
    return [
        spot._replace(part="", stave=0)
        if (spot.part, spot.stave, spot.offset, spot.notes) == (top, 1, 0, ())
        else spot
        for spot in finding.spots
    ]


def of_the_whole(opened: Opened, spots: Sequence[Spot]) -> bool:
    """Tell whether a finding or remark speaks of the whole piece, or nearly all of it."""
    longest = max((spot.last_bar - spot.bar + 1 for spot in spots if not spot.notes), default=0)
    return not spots or longest >= NEARLY_ALL * len(opened.analysis.score.bars)


def _places(opened: Opened, spots: Iterable[Spot]) -> Iterator[Json]:
    for spot in sorted(spots):
        yield {
            "first": spot.bar,
            "last": max(spot.bar, spot.last_bar),
            "part": spot.part,
            "stave": spot.stave,
            "notes": list(spot.notes),
            "words": _place(opened, spot),
        }


def _place(opened: Opened, spot: Spot) -> str:
    name = opened.part_names.get(spot.part, spot.part)
    return ", ".join(filter(None, (bar_list([spot], opened.analysis.score), name)))
