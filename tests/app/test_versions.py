"""A second version: what became of findings and remarks, and what is taken along."""

from collections.abc import Iterator
from pathlib import Path

import pytest

from redstave import store
from redstave.app import seasons
from redstave.base.errors import InputError
from redstave.model.remark import RemarkKind, finding_key
from redstave.model.role import Role, RoleOverride
from redstave.model.second import Outcome
from redstave.model.teacher import TeachersWord
from redstave.store import Season
from tests.app.season_entry import FIRST, SECOND, signed

FLUTE, TROMBONE = "P1", "P2"


@pytest.fixture
def season(tmp_path: Path) -> Iterator[Season]:
    """A season with an entry whose first version was worked on and whose second is computed."""
    with seasons.new_season(tmp_path / "s", None, "steps") as made:
        code = seasons.add_bytes(made, signed(FIRST), "a.musicxml")
        seasons.compute(made)
        _work(made, code)
        seasons.add_bytes(made, signed(SECOND), "b.musicxml", again=code)
        yield made


def _work(season: Season, code: str) -> None:
    review, score = seasons.review_of(season, code), seasons.score_of(season, code)
    for one in review.findings:
        if one.slug in ("pitch-outside-instrument", "tune-covered"):
            seasons.accept(season, code, finding_key(one), review, score)
        elif one.slug == "entry-level-missing":
            seasons.dismiss(season, code, finding_key(one), review, "clear enough")
    seasons.own_remark(season, code, score, "Yes", RemarkKind.PRAISE, "4", "Flute")
    seasons.own_remark(season, code, score, "Hm", RemarkKind.QUESTION, "1", "Flute")
    seasons.own_remark(season, code, score, "All in all", RemarkKind.QUESTION)


def the_code(season: Season) -> str:
    """The code of the only entry."""
    return store.read_entries(season)[0].code


def test_both_versions_must_be_computed(season: Season) -> None:
    """Before the second version is computed one sentence says what to do; one version is told."""
    with pytest.raises(InputError, match="season compute"):
        seasons.compare(season, the_code(season))
    other = seasons.add_bytes(season, signed(FIRST.replace("B4/1", "A4/1")), "c.musicxml")
    seasons.compute(season, [other])
    with pytest.raises(InputError, match="--again"):
        seasons.compare(season, other)


def test_remarks_are_answered_remain_or_are_to_be_looked_at(season: Season) -> None:
    """The mended note is answered, the covered tune remains, own remarks go by their place."""
    code = the_code(season)
    seasons.compute(season)
    found = seasons.compare(season, code)
    outcome = {one.remark.slug or one.remark.text: one.outcome for one in found.remarks}
    assert outcome == {
        "pitch-outside-instrument": Outcome.ANSWERED,
        "tune-covered": Outcome.REMAINS,
        "Yes": Outcome.KEPT,
        "Hm": Outcome.LOOK,
        "All in all": Outcome.KEPT,
    }
    assert [pair[:2] for pair in found.changed] == [(0, 0), (-1, 1)]
    places = {one.remark.text: one.now.place for one in found.remarks if one.now}
    assert places["Yes"] == "bar 5, Flute"
    old = {one.slug for one in seasons.review_of(season, code, 1).findings}
    assert "pitch-outside-instrument" in old
    (gone,) = (
        one
        for one in seasons.comparison_json(season, code, found)["answered"]
        if one["slug"] == "pitch-outside-instrument"
    )
    assert gone["key"] in found.answered


def test_what_still_holds_is_taken_along_once(season: Season) -> None:
    """Remarks that hold go to their new bars, decisions to the same findings; twice is once."""
    code = the_code(season)
    seasons.compute(season)
    assert seasons.letter_of(season, code).remarks == ()
    seasons.carry_over(season, code)
    kept = {
        one.remark.slug or one.remark.text: one.remark for one in store.read_remarks(season, code)
    }
    assert {name for name, one in kept.items() if one.version == 2} == {
        "tune-covered", "Yes", "Hm", "All in all",
    }  # fmt: skip
    covered = kept["tune-covered"]
    review = seasons.review_of(season, code)
    (now,) = (one for one in review.findings if one.slug == "tune-covered")
    assert covered.finding == finding_key(now)
    assert covered.spots[0].bar == now.spots[0].bar
    assert store.decisions(season, code)[finding_key(now)].remark == covered.id
    letter = seasons.letter_of(season, code)
    assert [one.slug for one in letter.answered] == ["pitch-outside-instrument"]
    assert covered in letter.remarks
    again = seasons.carry_over(season, code)
    assert [one.remark.slug for one in again.remarks] == ["pitch-outside-instrument"]
    assert store.read_remark(season, code, covered.id).remark == covered


def test_words_follow_their_bars(season: Season) -> None:
    """Where a remark calls its own place by bars, the carried one calls it by the new ones."""
    code = the_code(season)
    seasons.compute(season)
    (before,) = (
        one.remark for one in store.read_remarks(season, code) if one.remark.slug == "tune-covered"
    )
    seasons.carry_over(season, code)
    after = store.read_remark(season, code, before.id).remark
    assert before.place != after.place
    bars = after.place.split(",")[0]
    assert bars in after.text
    assert before.place.split(",")[0] not in after.text


def test_comparing_changes_nothing(season: Season) -> None:
    """Looking is free: remarks and decisions are as they were."""
    code = the_code(season)
    seasons.compute(season)
    before = store.read_remarks(season, code), store.decisions(season, code)
    seasons.compare(season, code)
    assert (store.read_remarks(season, code), store.decisions(season, code)) == before


def test_the_teachers_word_goes_along(season: Season) -> None:
    """Roles and sections go to their new bars; a second time, and what was said since, stay."""
    code = the_code(season)
    first = TeachersWord(roles=(RoleOverride(FLUTE, 2, 4, Role.TUNE),), cuts=(0, 4))
    store.write_word(season, code, 1, first, 0)
    seasons.compute(season)
    assert seasons.carry_over(season, code).unsaid == ()
    now = store.read_word(season, code, 2)
    assert now.word == TeachersWord(roles=(RoleOverride(FLUTE, 3, 5, Role.TUNE),), cuts=(0, 5))
    seasons.carry_over(season, code)
    assert store.read_word(season, code, 2).revision == now.revision


def test_what_was_said_of_somebody_who_is_gone_is_told(season: Season) -> None:
    """A role of a line that the new version lacks is named, not dropped in silence."""
    code = the_code(season)
    roles = (RoleOverride(FLUTE, 2, 4, Role.TUNE), RoleOverride(TROMBONE, 2, 3, Role.BASS))
    store.write_word(season, code, 1, TeachersWord(roles=roles), 0)
    alone = SECOND[: SECOND.index("part Trombone")]
    seasons.add_bytes(season, signed(alone), "c.musicxml", again=code)
    seasons.compute(season)
    found = seasons.carry_over(season, code, 1)
    assert found.unsaid == ("roles: Trombone, bars 3-4: bass",)
    (kept,) = store.read_word(season, code, 3).word.roles
    assert kept.line == FLUTE
