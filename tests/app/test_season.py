"""A season from intake to letter: blind, resumable, nothing silent."""

import json
import logging
import sqlite3
from collections.abc import Iterator
from dataclasses import replace
from itertools import pairwise
from pathlib import Path
from random import Random

import pytest

from redstave import store
from redstave.app import seasons
from redstave.app.code_names import draw, words
from redstave.app.season_settings import suggestion
from redstave.base.errors import InputError
from redstave.model.remark import Decision, RemarkKind, Weight, finding_key
from redstave.model.role import Role, RoleOverride
from redstave.model.season import Acceptance, SeasonFacts, Stage
from redstave.model.teacher import TeachersWord
from redstave.store import Season
from tests.app.season_entry import FIRST, NAME, SECOND, signed

FILE = "quick_wilhelmina_final.musicxml"


@pytest.fixture
def season(tmp_path: Path) -> Iterator[Season]:
    """A season without entries."""
    with seasons.new_season(tmp_path / "s", None, "steps", SeasonFacts("Spring")) as made:
        yield made


@pytest.fixture
def code(season: Season) -> str:
    """The code of one entry, computed."""
    made = seasons.add_bytes(season, signed(FIRST), FILE)
    seasons.compute(season)
    return made


def key_of(season: Season, code: str, slug: str) -> str:
    """The key of the first finding of a check."""
    review = seasons.review_of(season, code)
    return next(finding_key(one) for one in review.findings if one.slug == slug)


def test_code_names_are_many_neutral_and_all_different() -> None:
    """There are names for a large season, each one capitalised word, and none twice."""
    assert len(words()) > 150
    assert len(set(words())) == len(words())
    assert all(word.isalpha() and word.istitle() for word in words())


def test_codes_do_not_tell_the_order_of_arrival() -> None:
    """Drawn codes, sorted as they are shown, stand in no order of arrival; all are different."""
    chance, taken = Random(7), []
    for _ in range(len(words()) + 20):
        taken.append(draw(taken, chance))
    assert len(set(taken)) == len(taken)
    ranks = [sorted(taken[:60]).index(code) for code in taken[:60]]
    rising = sum(one < other for one, other in pairwise(ranks))
    assert 18 <= rising <= 41, "60 codes in random order rise about 29.5 times, give or take 2.2"


def test_intake_adds_what_can_be_read_and_tells_the_rest(season: Season, tmp_path: Path) -> None:
    """A bad file and one that is there already are told by name; the others are added."""
    names = {"a.musicxml": signed(FIRST), "b.musicxml": signed(SECOND), "c.musicxml": b"<x/>"}
    for name, data in names.items():
        (tmp_path / name).write_bytes(data)
    (tmp_path / "again.musicxml").write_bytes(signed(FIRST))
    paths = [tmp_path / name for name in (*names, "again.musicxml", "none.mxl")]
    added = seasons.add_files(season, paths)
    assert list(added.codes) == [one.code for one in store.read_entries(season)]
    assert len(added.codes) == 2
    assert [text.split()[0].rstrip(":") for text in added.problems[:2]] == [
        "c.musicxml", "again.musicxml",
    ]  # fmt: skip
    assert "none.mxl" in added.problems[2]


def everything_shown(season: Season, code: str) -> str:
    """All that any function shows of an entry before the season is opened."""
    review, score = seasons.review_of(season, code), seasons.score_of(season, code)
    analysis = seasons.analysis_of(season, code)
    shown = [
        seasons.season_json(season),
        seasons.findings_json(season, code, review, score),
        seasons.grades_json(season, code, review, score),
        [seasons.remark_json(one, score) for one in store.read_remarks(season, code)],
        [line._asdict() for line in store.read_log(season)],
    ]
    said = [repr(score), repr(review), repr(seasons.letter_of(season, code)), analysis.score.title]
    return json.dumps(shown, default=str) + "".join(said)


def test_blind_means_blind(season: Season, code: str, caplog: pytest.LogCaptureFixture) -> None:
    """Law 8: neither the file's name nor the maker's is in anything shown, written or logged."""
    review, score = seasons.review_of(season, code), seasons.score_of(season, code)
    with caplog.at_level(logging.DEBUG):
        for one in review.findings:
            seasons.accept(season, code, finding_key(one), review, score)
        text = everything_shown(season, code) + seasons.xml_of_entry(season, code).decode()
        text += caplog.text
    for secret in (FILE, Path(FILE).stem, NAME, *NAME.split()):
        assert secret not in text
    paths = [path.name for path in season.folder.rglob("*")]
    assert not [path for path in paths if "quick" in path.lower()]


def test_only_the_sealed_table_knows_the_files_name(season: Season, code: str) -> None:
    """In the tables, too, the name stands in one place alone."""
    assert code
    season.close()
    with sqlite3.connect(season.folder / "season.sqlite") as tables:
        names = [
            row[0] for row in tables.execute("SELECT name FROM sqlite_master WHERE type='table'")
        ]
        holding = [
            name
            for name in names
            if FILE in repr(tables.execute(f"SELECT * FROM {name}").fetchall())
        ]
    tables.close()
    assert holding == ["sealed_name"]


def test_opening_shows_whose_entry_it_is(season: Season, code: str) -> None:
    """After opening, and only then, the season tells the file's name."""
    (before,) = seasons.season_json(season)["entries"]  # type: ignore[misc]
    assert before["file"] is None  # type: ignore[index]
    assert seasons.open_names(season) == [{"code": code, "number": 1, "name": FILE}]
    (after,) = seasons.season_json(season)["entries"]  # type: ignore[misc]
    assert after["file"] == FILE  # type: ignore[index]


def test_computing_goes_on_where_it_was_stopped(season: Season) -> None:
    """Stopped after one entry, a second run does the other and leaves the first alone."""
    for tiny in (FIRST, SECOND):
        seasons.add_bytes(season, signed(tiny), FILE)
    asked = iter([False, True])
    first = seasons.compute(season, stop=lambda: next(asked))
    assert len(first.reviewed) == 1
    second = seasons.compute(season)
    assert second.up_to_date == first.reviewed
    assert len(second.reviewed) == 1
    assert {one.stage for one in store.read_entries(season)} == {Stage.COMPUTED}


def test_a_moved_threshold_makes_another_review_and_keeps_the_decision(
    season: Season, code: str
) -> None:
    """Moving a threshold outdates the review; the new one stands beside the old, decisions hold."""
    key = key_of(season, code, "tune-covered")
    seasons.dismiss(season, code, key, seasons.review_of(season, code), "meant")
    assert seasons.is_up_to_date(season, code)
    seasons.move(season, "tune-covered", "least_chance", 0.75)
    assert not seasons.is_up_to_date(season, code)
    seasons.compute(season)
    reviews = store.read_reviews(season, code)
    assert [one.review.provenance.settings for one in reviews] == [
        (), (("tune-covered", "least_chance", 0.75),),
    ]  # fmt: skip
    listed = seasons.findings_json(season, code, reviews[1].review, seasons.score_of(season, code))
    (covered,) = (one for one in listed if one["key"] == key)
    assert (covered["decision"], covered["reason"]) == ("dismissed", "meant")


def test_the_teachers_word_is_in_the_analysis_and_outdates_the_review(
    season: Season, code: str
) -> None:
    """Where he lets sections begin, and whom he calls the tune, is heard at the next computing."""
    assert seasons.is_up_to_date(season, code)
    line = seasons.analysis_of(season, code).playing.lines[1].id
    for revision, word in enumerate(
        (TeachersWord(cuts=(4,)), TeachersWord(roles=(RoleOverride(line, 0, 7, Role.TUNE),)))
    ):
        store.write_word(season, code, 1, word, revision)
        analysis = seasons.analysis_of(season, code)
        assert (analysis.cuts, analysis.overrides) == (word.cuts, word.roles)
        assert not seasons.is_up_to_date(season, code)
        assert seasons.compute(season).reviewed == (code,)
        assert seasons.is_up_to_date(season, code)
    assert len(store.read_reviews(season, code)) == 3


@pytest.mark.parametrize(
    ("name", "ending"), [("a.by_wilhelmina", ".musicxml"), ("a", ".musicxml"), ("a.tiny", ".tiny")]
)
def test_the_ending_of_a_name_tells_nothing(season: Season, name: str, ending: str) -> None:
    """Kept files are called by their kind, whatever the sender called them."""
    data = FIRST.encode() if ending == ".tiny" else signed(FIRST)
    code = seasons.add_bytes(season, data, name)
    assert store.read_entry(season, code).newest.ending == ending
    assert seasons.score_of(season, code).origin.name == f"{code}{ending}"


def test_what_cannot_be_made_leaves_no_season(tmp_path: Path) -> None:
    """A season with a bad original, hall or set of criteria is not begun at all."""
    bad = tmp_path / "bad.musicxml"
    bad.write_text("<x/>", "utf-8")
    for original, criteria, facts in (
        (bad, "full", SeasonFacts("S")),
        (tmp_path / "none.xml", "full", SeasonFacts("S")),
        (None, "no such set", SeasonFacts("S")),
        (None, "full", SeasonFacts("S", hall="cellar")),
        (None, "full", SeasonFacts("S", forces="many")),
    ):
        with pytest.raises(InputError):
            seasons.new_season(tmp_path / "s", original, criteria, facts)
    assert not (tmp_path / "s").exists()


def test_an_accepted_finding_becomes_a_remark_in_our_words(season: Season, code: str) -> None:
    """Text, why, way out, place, kind and criterion come from the finding; twice is once."""
    key = key_of(season, code, "pitch-outside-instrument")
    review, score = seasons.review_of(season, code), seasons.score_of(season, code)
    made = seasons.accept(season, code, key, review, score)
    assert made.kind is RemarkKind.FIX
    assert made.place == "bar 1, Flute"
    assert made.criterion == "technique"
    assert made.why
    assert made.way_out
    assert seasons.accept(season, code, key, review, score) == made
    assert store.decisions(season, code)[key].decision is Decision.ACCEPTED


def test_a_reworded_finding_says_so(season: Season, code: str) -> None:
    """The teacher's own words, kind and weight win, and the decision says reworded."""
    key = key_of(season, code, "pitch-outside-instrument")
    review, score = seasons.review_of(season, code), seasons.score_of(season, code)
    wish = seasons.Wish("An octave up?", why="", kind=RemarkKind.QUESTION, weight=Weight.MAIN)
    made = seasons.accept(season, code, key[:6], review, score, wish)
    assert (made.text, made.why, made.kind, made.weight) == (
        "An octave up?", "", RemarkKind.QUESTION, Weight.MAIN,
    )  # fmt: skip
    assert store.decisions(season, code)[key].decision is Decision.REWORDED


def test_merged_findings_share_a_remark_with_all_places(season: Season, code: str) -> None:
    """Merging gathers the places; a remark that one of them had to itself is withdrawn."""
    keys = [key_of(season, code, slug) for slug in ("pitch-outside-instrument", "tune-covered")]
    review, score = seasons.review_of(season, code), seasons.score_of(season, code)
    alone = seasons.accept(season, code, keys[1], review, score)
    made = seasons.merge(season, code, keys, review, score, wish=seasons.Wish("Both"))
    spots = [spot for one in review.findings if finding_key(one) in keys for spot in one.spots]
    assert set(made.spots) == set(spots)
    judged = store.decisions(season, code)
    assert {judged[key].remark for key in keys} == {made.id}
    assert [one.remark.id for one in store.read_remarks(season, code)] == [made.id]
    assert store.read_remark(season, code, alone.id).withdrawn
    seasons.dismiss(season, code, keys[0], review, "no")
    assert [one.remark.id for one in store.read_remarks(season, code)] == [made.id]


def test_dismissing_takes_the_remark_out_and_reopening_leaves_it_out(
    season: Season, code: str
) -> None:
    """A dismissed finding has no remark in the letter; its decision can be taken back."""
    key = key_of(season, code, "tune-covered")
    review, score = seasons.review_of(season, code), seasons.score_of(season, code)
    seasons.accept(season, code, key, review, score)
    seasons.dismiss(season, code, key, review, "meant")
    assert store.read_remarks(season, code) == ()
    seasons.reopen(season, code, key, review)
    assert key not in store.decisions(season, code)
    assert seasons.accept(season, code, key, review, score).id


@pytest.mark.parametrize("key", ["", "zz", "0123456789abcdef0"])
def test_an_unknown_finding_is_told(season: Season, code: str, key: str) -> None:
    """A key that is none of the entry's findings is one sentence, and decides nothing."""
    with pytest.raises(InputError, match="remark findings"):
        seasons.dismiss(season, code, key, seasons.review_of(season, code))
    assert store.decisions(season, code) == {}


def test_a_check_seldom_of_use_is_suggested_to_be_turned_off_and_never_is(
    season: Season, code: str
) -> None:
    """Below 30 % of at least 20 decisions a sentence says so; the check stays on until told."""
    assert suggestion(Acceptance("x", 5, 0, 0, 14), True) == ""
    assert suggestion(Acceptance("x", 6, 0, 0, 14), True) == ""
    assert "--off x" in suggestion(Acceptance("x", 3, 1, 1, 15), True)
    assert suggestion(Acceptance("x", 0, 0, 0, 40), False) == ""
    seasons.dismiss(
        season, code, key_of(season, code, "tune-covered"), seasons.review_of(season, code)
    )
    (row,) = seasons.checks_json(season)
    assert (row["slug"], row["dismissed"], row["share"], row["on"]) == (
        "tune-covered", 1, 0.0, True,
    )  # fmt: skip
    seasons.switch(season, "tune-covered", False)
    seasons.compute(season)
    slugs = {one.slug for one in seasons.review_of(season, code).findings}
    assert "tune-covered" not in slugs


def test_unknown_checks_and_thresholds_are_told(season: Season) -> None:
    """A slug or a threshold that is not there is one sentence, and nothing is changed."""
    with pytest.raises(InputError, match="no check"):
        seasons.switch(season, "no-such", False)
    with pytest.raises(InputError, match="it has least_chance"):
        seasons.move(season, "tune-covered", "nothing", 1.0)
    with pytest.raises(InputError, match="moves nothing"):
        seasons.moved("tune-covered.least_chance=much")
    assert seasons.settings_of(season).changed == {}


def test_a_review_without_words_is_made_again(season: Season, code: str) -> None:
    """What an earlier Redstave found and this one cannot tell is no fault of the season."""
    old = seasons.review_of(season, code)
    strange = tuple(replace(one, facts=(), evidence=()) for one in old.findings)
    store.add_review(season, code, 1, replace(old, findings=strange, ways=(), explains=()))
    assert not seasons.is_up_to_date(season, code)
    assert seasons.compute(season).reviewed == (code,)
    assert seasons.review_of(season, code) == old


def test_a_threshold_put_back_brings_its_findings_back(season: Season, code: str) -> None:
    """What holds is what was computed last, also where it was computed before."""
    old = seasons.review_of(season, code)
    seasons.move(season, "tune-covered", "least_chance", 0.9)
    seasons.compute(season)
    seasons.move(season, "tune-covered", "least_chance", None)
    assert seasons.compute(season).reviewed == (code,)
    assert seasons.review_of(season, code) == old
    assert seasons.compute(season).up_to_date == (code,)


def test_an_entry_on_another_piece_is_told(tmp_path: Path) -> None:
    """Whoever hands in the wrong file is found before anybody reads it."""
    demo = Path(seasons.__file__).parent / "demo"
    with seasons.new_season(tmp_path / "s", demo / "piano.musicxml") as made:
        tiny = "".join(f"C{3 + at % 4}/8 F#{3 + at % 3} r/2. |\n" for at in range(20))
        strange = f"title: x\nmeter: 4/4\ntempo: 96\npart Tuba | clef=bass\nf {tiny}"
        code = seasons.add_bytes(made, strange.encode(), "x.tiny")
        done = seasons.compute(made)
        assert done.notes == (
            f"{code}: too few bars of this score were found in the original; is it the right file?",
        )
