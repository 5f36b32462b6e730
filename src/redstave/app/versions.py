"""A second version of an entry: what changed, which remarks are answered, which remain."""

import re
from collections.abc import Mapping, Sequence
from dataclasses import replace
from typing import Any

from redstave import store
from redstave.app.hear import printed
from redstave.app.kept_entry import review_of, score_of, version_of
from redstave.app.review_json import finding_json
from redstave.app.teachers_word import pages_of
from redstave.app.word_carried import carried_word
from redstave.app.word_use import said_texts
from redstave.app.wordings import place_of
from redstave.base.errors import InputError
from redstave.model.finding import Finding, Spot
from redstave.model.match import NO_BAR
from redstave.model.remark import Remark, RemarkKind, finding_key
from redstave.model.review import Review
from redstave.model.score import Score
from redstave.model.second import BarPair, Comparison, Followed, Outcome
from redstave.model.teacher import NOTHING_SAID
from redstave.original.second import bars_between, parts_between
from redstave.render.wording import bar_list
from redstave.store import Season

Json = dict[str, Any]


def compare(season: Season, code: str, before: int | None = None) -> Comparison:
    """Set the newest version of an entry beside an earlier one, the one before it by default.

    Both must have been computed. Nothing in the season is changed.
    """
    after = version_of(season, code).number
    earlier = after - 1 if before is None else before
    if not 1 <= earlier < after:
        raise InputError(
            f"entry {code} has no version before number {after}; add one with "
            f'"redstave season add … --again {code}"'
        )
    scores = score_of(season, code, earlier), score_of(season, code, after)
    reviews = review_of(season, code, earlier), review_of(season, code, after)
    remarks = [
        one.remark for one in store.read_remarks(season, code) if one.remark.version == earlier
    ]
    return compared(scores, reviews, remarks, (earlier, after))


def compared(
    scores: tuple[Score, Score],
    reviews: tuple[Review, Review],
    remarks: Sequence[Remark],
    numbers: tuple[int, int] = (1, 2),
) -> Comparison:
    """Set two versions side by side: scores and reviews of the earlier and the later."""
    bars = bars_between(*scores)
    way = _Way(bars, parts_between(*scores), scores, numbers[1])
    same = _same(reviews, way)
    old = [finding_key(one) for one in reviews[0].findings]
    new = [finding_key(one) for one in reviews[1].findings]
    return Comparison(
        *numbers,
        bars,
        tuple(_followed(one, same, way) for one in remarks),
        tuple(same.items()),
        tuple(key for key in dict.fromkeys(old) if key not in same),
        tuple(key for key in dict.fromkeys(new) if key not in same.values()),
    )


def carry_over(season: Season, code: str, before: int | None = None) -> Comparison:
    """Take remarks, decisions and the teacher's word along, and return the comparison.

    Remarks that remain, or whose place is as it was, go to their place in the new version; those
    that are answered or gone stay with the old one. Findings known from the earlier version keep
    their decision. What was said of bars, roles and sections is said of the new version too, unless
    something was said of it already. Doing it twice changes nothing more.
    """
    found = compare(season, code, before)
    with season.writing():
        unsaid = _carry_word(season, code, found)
        moved = {}
        for one in found.remarks:
            if one.now is not None and one.outcome in (Outcome.REMAINS, Outcome.KEPT, Outcome.LOOK):
                moved[one.remark.id] = store.revise_remark(season, code, one.now).id
        judged = store.decisions(season, code)
        for old, new in found.same:
            known = judged.get(old)
            if known and new not in judged and (known.remark in moved or not known.remark):
                store.decide(season, code, known._replace(key=new))
    return replace(found, unsaid=unsaid)


def _carry_word(season: Season, code: str, found: Comparison) -> tuple[str, ...]:
    """Say of the newest version what was said of the earlier; return what cannot be said of it."""
    old = store.read_word(season, code, found.before).word
    now = store.read_word(season, code, found.after)
    if old == NOTHING_SAID or now.revision:
        return ()
    scores = score_of(season, code, found.before), score_of(season, code, found.after)
    earlier = pages_of(season, code, found.before)
    playing = earlier.playing, pages_of(season, code).playing
    word, left = carried_word(old, found.bars, parts_between(*scores), playing)
    if word != NOTHING_SAID:
        store.write_word(season, code, found.after, word, now.revision)
    if left == NOTHING_SAID:
        return ()
    texts = said_texts(left, earlier)
    return tuple(f"{kind}: {text}" for kind, all_ in texts.items() for text in all_)


def comparison_json(season: Season, code: str, found: Comparison) -> Json:
    """Return a comparison as plain data; see docs/season-json.md."""
    scores = score_of(season, code, found.before), score_of(season, code, found.after)
    reviews = review_of(season, code, found.before), review_of(season, code, found.after)
    return {
        "code": code,
        "before": found.before,
        "after": found.after,
        "bars": [_pair_json(pair, scores) for pair in found.changed],
        "remarks": [_remark_json(one) for one in found.remarks],
        "answered": _findings_json(reviews[0], found.answered, scores[0]),
        "new": _findings_json(reviews[1], found.new, scores[1]),
        "same": len(found.same),
        "unsaid": list(found.unsaid),
    }


class _Way:
    """The way from places of the earlier version to places of the later."""

    def __init__(
        self,
        bars: Sequence[BarPair],
        parts: Mapping[str, str],
        scores: tuple[Score, Score],
        number: int,
    ) -> None:
        self.bar = {one.before: one.after for one in bars if NO_BAR not in (one.before, one.after)}
        self.pairs = {one.before: one for one in bars if one.before != NO_BAR}
        self.parts = parts
        self.before, self.after = scores
        self.number = number

    def spot(self, spot: Spot) -> Spot | None:
        """Return where a place is now, None where its bars or its part are gone."""
        inside = [self.bar[bar] for bar in range(spot.bar, spot.last_bar + 1) if bar in self.bar]
        part = self.parts.get(spot.part, "" if not spot.part else None)
        if not inside or part is None:
            return None
        notes = self._notes(spot) if part == spot.part else ()
        offset = spot.offset if spot.bar in self.bar else 0
        return Spot(min(inside), offset, part, spot.stave, max(inside), notes)

    def changed(self, spot: Spot) -> bool:
        """Tell whether anything was changed at a place of the earlier version."""
        part = self.parts.get(spot.part, spot.part)
        for bar in range(spot.bar, spot.last_bar + 1):
            pair = self.pairs.get(bar)
            if pair is None or pair.after == NO_BAR or (pair.parts and not spot.part):
                return True
            if part in pair.parts:
                return True
        return False

    def _notes(self, spot: Spot) -> tuple[str, ...]:
        """Return the ids of the notes in bars that nobody has changed; others cannot be known."""
        found = []
        for note in spot.notes:
            part, bar, number = note.rsplit(".", 2)
            pair = self.pairs.get(int(bar)) if bar.isdecimal() else None
            if pair is not None and pair.after != NO_BAR and part not in pair.parts:
                name = f"{part}.{pair.after}.{number}"
                found += [name] if name in self.after.notes_by_id else []
        return tuple(found)


def _same(reviews: tuple[Review, Review], way: _Way) -> dict[str, str]:
    """Return which finding of the later review each of the earlier is, by their keys.

    They are of one check, and share a stave and a bar; each is taken once, the nearest first.
    """
    found: dict[str, str] = {}
    free = {finding_key(one): one for one in reviews[1].findings}
    for finding in reviews[0].findings:
        places = [spot for spot in map(way.spot, finding.spots) if spot is not None]
        shared = {
            key: common
            for key, one in free.items()
            if one.slug == finding.slug and (common := _common(places, one))
        }
        if shared:
            nearest = max(shared, key=lambda key: shared[key])
            found[finding_key(finding)] = nearest
            del free[nearest]
    return found


def _common(places: Sequence[Spot], finding: Finding) -> int:
    """Count the bars that places and a finding have in common on one stave."""
    return sum(
        max(0, min(one.last_bar, other.last_bar) - max(one.bar, other.bar) + 1)
        for one in places
        for other in finding.spots
        if (one.part, one.stave) == (other.part, other.stave)
    )


def _followed(remark: Remark, same: Mapping[str, str], way: _Way) -> Followed:
    now = _now(remark, same, way)
    if remark.finding and remark.kind is not RemarkKind.PRAISE:
        outcome = Outcome.REMAINS if remark.finding in same else Outcome.ANSWERED
    elif now is None:
        outcome = Outcome.GONE
    elif remark.finding:
        outcome = Outcome.KEPT if remark.finding in same else Outcome.LOOK
    else:
        changed = any(way.changed(spot) for spot in remark.spots)
        outcome = Outcome.LOOK if changed else Outcome.KEPT
    return Followed(remark, outcome, now, same.get(remark.finding, ""))


def _now(remark: Remark, same: Mapping[str, str], way: _Way) -> Remark | None:
    """Return a remark at its place in the later version."""
    spots = tuple(spot for spot in map(way.spot, remark.spots) if spot is not None)
    if remark.spots and not spots:
        return None

    def told(text: str) -> str:
        return _renumbered(text, remark.spots, spots, way)

    return replace(
        remark,
        text=told(remark.text),
        why=told(remark.why),
        way_out=told(remark.way_out),
        spots=spots,
        place=place_of(spots, way.after),
        finding=same.get(remark.finding, remark.finding),
        version=way.number,
    )


def _renumbered(text: str, old: Sequence[Spot], new: Sequence[Spot], way: _Way) -> str:
    """Return a text whose own place is called by its new bars: "in bars 9–10", where they stood."""
    if not new:
        return text
    here, there = bar_list(old, way.before), bar_list(new, way.after)
    return re.sub(
        rf"([Bb]){re.escape(here[1:])}(?![\d–])", lambda found: found[1] + there[1:], text
    )


def _pair_json(pair: BarPair, scores: tuple[Score, Score]) -> Json:
    before, after = (
        None if bar == NO_BAR else printed(score.bars[bar].number)
        for bar, score in zip(pair[:2], scores, strict=True)
    )
    names = {part.id: part.name for score in scores for part in score.parts}
    return {
        "before": before,
        "after": after,
        "alike": round(pair.alike, 3),
        "parts": [names.get(part, part) for part in pair.parts],
    }


def _remark_json(one: Followed) -> Json:
    return {
        "id": one.remark.id,
        "outcome": str(one.outcome),
        "place": one.remark.place,
        "place_now": one.now.place if one.now else "",
        "text": one.remark.text,
        "key": one.key,
    }


def _findings_json(review: Review, keys: Sequence[str], score: Score) -> list[Json]:
    found = {finding_key(one): one for one in review.findings}
    return [{**finding_json(found[key], score), "key": key} for key in keys]
