"""The phrase book: lossless as text, filled where it fits, never the same wording all the time."""

from collections.abc import Iterator
from pathlib import Path
from string import ascii_lowercase

import pytest
from hypothesis import given
from hypothesis import strategies as st

from redstave import store
from redstave.app import seasons
from redstave.app.phrase_text import checked, phrases_of, phrases_text, starter_phrases
from redstave.app.wordings import fill_for, filled, fitting
from redstave.base.errors import InputError
from redstave.checks import catalogue
from redstave.model.finding import Claim
from redstave.model.phrase import PLACE_HOLDERS, Phrase
from redstave.model.remark import RemarkKind, finding_key
from redstave.store import Season
from tests.app.season_entry import FIRST, signed

NAMES = st.lists(st.text(ascii_lowercase, min_size=1, max_size=6), min_size=1, max_size=3).map(
    "-".join
)
TEXTS = (
    st.text(st.characters(exclude_categories=["Cs"], exclude_characters="\r{}"), min_size=1)
    .map(lambda text: text.replace("§", "{bars}"))
    .filter(str.strip)
)
PHRASES = st.builds(
    lambda name, kind, texts, checks, criteria, used: Phrase(
        name, kind, tuple(texts), tuple(checks), tuple(criteria), tuple(used[: len(texts)])
    ),
    NAMES,
    st.sampled_from(RemarkKind),
    st.lists(TEXTS, min_size=1, max_size=4),
    st.lists(NAMES, max_size=3),
    st.lists(NAMES, max_size=3),
    st.lists(st.integers(0, 99), min_size=4, max_size=4),
)


@pytest.fixture
def season(tmp_path: Path) -> Iterator[Season]:
    """A season with one computed entry called as it was drawn."""
    with seasons.new_season(tmp_path / "s", None, "steps") as made:
        seasons.add_bytes(made, signed(FIRST), "a.musicxml")
        seasons.compute(made)
        yield made


@given(st.lists(PHRASES, max_size=4, unique_by=lambda one: one.id))
def test_the_text_of_a_phrase_book_comes_back_exactly(book: list[Phrase]) -> None:
    """Whatever wordings hold - line breaks, blanks, pilcrows - they come back letter by letter."""
    assert phrases_of(phrases_text(book), "book") == tuple(book)


def test_a_book_written_by_hand_is_understood() -> None:
    """Comments, blank lines and line ends of another system are no part of a phrase."""
    text = (
        "\ufeff; mine\r\n\r\nphrase too-thick\r\nkind: question\r\nchecks: one-chord-tone-thick\r\n"
        "- One.\r\n  Two.\r\n\r\n- {bars}?\r\n"
    )
    assert phrases_of(text, "mine.txt") == (
        Phrase(
            "too-thick", RemarkKind.QUESTION, ("One.\nTwo.", "{bars}?"), ("one-chord-tone-thick",),
            (), (0, 0),
        ),
    )  # fmt: skip


@pytest.mark.parametrize(
    ("text", "told"),
    [
        ("kind: fix\n", "line 1"),
        ("phrase a\nkind: shout\n- x\n", "praise, question"),
        ("phrase a\nkind: fix\n", "at least one wording"),
        ("phrase a b\nkind: fix\n- x\n", "hyphens"),
        ("phrase a\nkind: fix\n- {barr}\n", "{barr} open"),
        ("phrase a\nkind: fix\n- {bars!r}\n", "only a name"),
        ("phrase a\nkind: fix\n- {bars\n", "never closed"),
        ("phrase a\nkind: fix\n- x\nnonsense\n", "line 4"),
        ("phrase a\nkind: fix\n- x\n\nphrase a\nkind: fix\n- y\n", "twice"),
        ("phrase a\nkind: fix\nused: 1, 2\n- x\n", "one number for each"),
    ],
)
def test_a_faulty_book_is_told_and_changes_nothing(
    season: Season, tmp_path: Path, text: str, told: str
) -> None:
    """One sentence says what is wrong where; no phrase of the file is brought in."""
    path = tmp_path / "mine.txt"
    good = "" if "line" in told else "phrase good\nkind: fix\n- x\n\n"
    path.write_text(good + text, "utf-8")
    before = store.read_phrases(season)
    with pytest.raises(InputError, match=r"mine\.txt") as error:
        seasons.import_phrases(season, path)
    assert told in str(error.value)
    assert store.read_phrases(season) == before


def test_export_and_import_between_seasons(season: Season, tmp_path: Path) -> None:
    """A phrase book taken out of one season and brought into another is the same, counts too."""
    store.count_use(season, "tune-lost", 1)
    seasons.export_phrases(season, tmp_path / "book.txt")
    with seasons.new_season(tmp_path / "other") as other:
        for phrase in store.read_phrases(other):
            store.remove_phrase(other, phrase.id)
        seasons.import_phrases(other, tmp_path / "book.txt")
        assert store.read_phrases(other) == store.read_phrases(season)


def test_starter_phrases_are_sound() -> None:
    """Every phrase that comes with Redstave speaks to checks and criteria that exist."""
    criteria = {
        criterion.key
        for name in seasons.STARTERS
        for criterion in seasons.criteria_named(name).criteria
    }
    for phrase in starter_phrases():
        assert checked(phrase) == phrase
        assert set(phrase.checks) <= set(catalogue()), phrase.id
        assert set(phrase.criteria) <= criteria, phrase.id
        assert phrase.checks or phrase.criteria
        claims = {catalogue()[slug].claim for slug in phrase.checks}
        praises = phrase.kind is RemarkKind.PRAISE
        assert all((claim is Claim.CREDIT) is praises for claim in claims), phrase.id


def test_nothing_is_left_open_in_a_filled_wording() -> None:
    """A wording with something that nothing fills is not offered; doubled braces are braces."""
    words = {"bars": "bars 3–5"}
    assert filled("{bars}: {{so}}", words) == "Bars 3–5: {so}"
    assert filled("{limit}", words) is None
    phrase = Phrase("a", RemarkKind.FIX, ("{limit}", "{bars}", "x"), (), (), (0, 5, 2))
    assert fitting(phrase, words) == 2
    assert fitting(Phrase("a", RemarkKind.FIX, ("{limit}",)), words) is None


def test_suggestions_fit_the_finding_and_take_turns(season: Season) -> None:
    """What is suggested for a finding is of its check; using it brings another wording next."""
    (code,) = (one.code for one in store.read_entries(season))
    review, score = seasons.review_of(season, code), seasons.score_of(season, code)
    (finding,) = (one for one in review.findings if one.slug == "pitch-outside-instrument")
    key = finding_key(finding)
    first = seasons.suggest(season, key, review, score)[0]
    assert first.phrase == "not-on-the-instrument"
    assert "Bar 1" in first.text
    assert "Flute" in first.text
    made = seasons.accept(
        season, code, key, review, score, seasons.Wish(phrase="not-on-the-instrument")
    )
    assert made.text == first.text
    second = seasons.suggest(season, key, review, score)[0]
    assert (second.phrase, second.variant) == (first.phrase, first.variant + 1)
    store.count_use(season, second.phrase, second.variant)
    assert seasons.suggest(season, key, review, score)[0].variant == first.variant


@pytest.mark.parametrize("name", ["nothing", "not-on-the-instrument:9", "not-on-the-instrument:x"])
def test_a_phrase_that_cannot_be_used_is_told(season: Season, name: str) -> None:
    """An unknown phrase or wording is one sentence, and nothing is accepted or counted."""
    (code,) = (one.code for one in store.read_entries(season))
    review, score = seasons.review_of(season, code), seasons.score_of(season, code)
    key = finding_key(review.findings[0])
    with pytest.raises(InputError):
        seasons.accept(season, code, key, review, score, seasons.Wish(phrase=name))
    assert store.read_remarks(season, code) == ()
    assert store.decisions(season, code) == {}


def test_the_book_can_be_searched(season: Season) -> None:
    """All words must be there, whatever their case; checks and criteria narrow it down."""
    assert [one.id for one in seasons.find_phrases(season, "BOW arc")] == ["bow-too-long"]
    assert all("balance" in one.criteria for one in seasons.find_phrases(season, "", "", "balance"))
    assert [one.id for one in seasons.find_phrases(season, check="tune-covered")] == ["tune-lost"]
    assert seasons.find_phrases(season, "bassoonery") == ()


def test_every_place_holder_can_be_filled(season: Season) -> None:
    """What a wording may leave open is what some finding fills."""
    (code,) = (one.code for one in store.read_entries(season))
    review, score = seasons.review_of(season, code), seasons.score_of(season, code)
    names = {name for one in review.findings for name in fill_for(one, score)}
    assert names == set(PLACE_HOLDERS)
