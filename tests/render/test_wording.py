"""Sentences from findings: every template renders, and says nothing a user should not read."""

import re
from dataclasses import fields
from string import Formatter

import pytest

from redstave.base.errors import DataError
from redstave.checks import catalogue
from redstave.model.finding import Claim, Evidence, Finding, Spot
from redstave.reading import read_bytes
from redstave.render.wording import (
    Names,
    Wording,
    bar_list,
    kept_words,
    listed,
    measured,
    number,
    part_list,
    quantity,
    sentence,
    wordings,
    words_for,
)
from tests.render.views import FACTS, finding, score, spot

# The twelve checks of the first edition; their definitions are the trade notes' catalogue.
FIRST_TWELVE = (
    "pitch-outside-instrument",
    "entry-level-missing",
    "swell-without-start-or-goal",
    "swell-contradicts-goal",
    "uneven-level-in-choir",
    "slur-over-equal-notes",
    "division-not-marked",
    "stop-needs-same-string",
    "residue-from-other-family",
    "tune-covered",
    "plucked-line-covered",
    "brass-at-par-overpowers",
)
# Words that the vocabulary of the project keeps from its users.
RESERVED = re.compile(r"\b(lint|rule engine|plugin|dashboard|track|mixer|preset)\b", re.IGNORECASE)


def supplied(slug: str) -> Finding:
    """Return a finding with every fact its template names, places and parts left to the score."""
    texts = [getattr(wordings()[slug], field.name) for field in fields(Wording)]
    names = {name for text in texts for _, name, _, _ in Formatter().parse(text) if name}
    facts = {name: FACTS.get(name, "five") for name in names - {"bars", "parts"}}
    return Finding(slug, (spot(1), spot(2, 3)), (), tuple(facts.items()))


@pytest.mark.parametrize("slug", sorted(wordings()))
def test_every_template_renders(slug: str) -> None:
    """With what it asks for every text is filled, starts with a capital and ends as it should.

    That checks do supply what their templates ask for is shown with their example scores.
    """
    words = words_for(supplied(slug), score())
    for field in fields(Wording):
        text = getattr(words, field.name)
        assert "{" not in text
        assert text[0].isupper()
        assert not RESERVED.search(text)
    assert words.question.endswith("?")
    for text in (words.statement, words.why, words.way_out):
        assert text.endswith(".")
    assert not words.title.endswith(".")


@pytest.mark.parametrize("slug", FIRST_TWELVE)
def test_a_fault_is_told_with_its_place(slug: str) -> None:
    """Statement and question of a fault both name the bars and someone who plays there."""
    words = words_for(finding(slug, spot(1, 1, "P4")), score())
    for text in (words.statement, words.question):
        assert "bar 2" in text
        assert re.search(r"Violin I|Horn 1", text)


def test_every_check_has_words() -> None:
    """No check of the catalogue is without words, and no words are without their check."""
    assert set(wordings()) == set(catalogue())


def test_a_missing_fact_is_an_error() -> None:
    """A template whose fact the finding lacks never leaves a gap in a sentence."""
    with pytest.raises(DataError, match="tune-covered"):
        words_for(Finding("tune-covered", (spot(0),), ()), score())


def test_words_nobody_wrote_are_an_error() -> None:
    """A finding of an unknown check is refused."""
    with pytest.raises(DataError, match="no-such-check"):
        words_for(finding("no-such-check"), score())


def test_only_a_question_asks() -> None:
    """Impossible, risk and credit speak in statements."""
    words = words_for(finding("tune-covered"), score())
    assert sentence(words, Claim.QUESTION) == words.question
    for claim in (Claim.IMPOSSIBLE, Claim.RISK, Claim.CREDIT):
        assert sentence(words, claim) == words.statement


def test_bars_are_listed_as_people_do() -> None:
    """Stretches are joined, listed in order, and only one bar is "bar"."""
    known = score(30)
    assert bar_list([spot(4)], known) == "bar 5"
    assert bar_list([spot(11), spot(2, 4), spot(8)], known) == "bars 3–5, 9 and 12"
    assert bar_list([spot(2), spot(3), spot(3, 5)], known) == "bars 3–6"
    many = bar_list([spot(bar) for bar in range(0, 30, 2)], known)
    assert many == "bars 1, 3, 5, 7, 9, 11, 13, 15 and 7 more"


def test_parts_are_listed_in_the_order_of_the_page() -> None:
    """Each part once, in score order, however the places come."""
    spots = [spot(0, 0, "P4"), spot(1, 1, "P1"), spot(2, 2, "P4")]
    assert part_list(spots, score()) == "Flute 1. 2 and Violin I"


def test_a_list_is_counted_only_when_that_is_shorter() -> None:
    """One name over the limit is named: "and 1 more" would be no shorter."""
    assert listed(["a"], 2) == "a"
    assert listed(["a", "b", "c"], 2) == "a, b and c"
    assert listed(["a", "b", "c", "d"], 2) == "a, b and 2 more"
    assert listed([], 2) == ""


def test_numbers_and_units_read_well() -> None:
    """Few figures, a true minus sign, and the singular where there is one."""
    assert number(-4.25) == "−4.2"
    assert number(0.125) == "0.12"
    assert number(100) == "100"
    assert number(-0.001) == "0"
    assert number("B3") == "B3"
    assert quantity(Evidence("entries", 1, "entries")) == "1 entry"
    assert quantity(Evidence("notes", 2, "notes")) == "2 notes"
    assert quantity(Evidence("time", 1, "s")) == "1 s"
    assert measured(0.96, "share of time") == "96 % of time"
    assert measured(2.6, "ratio") == "2.6 : 1"
    assert measured("mf", "") == "mf"


def test_the_verb_goes_with_the_parts() -> None:
    """A single name takes the verb in the singular, several players and several names do not."""
    assert f"{Names('Bass Trombone', False):have|has}" == "has"
    assert f"{Names('Horn 1. 2', True):have|has}" == "have"
    spots = [Spot(0, 0, part, 1, 0) for part in ("P1", "P2")]
    score = read_bytes(
        b"title: T\nmeter: 4/4\n\npart Tuba\nC2/1 |.\n\npart Oboe 1. 2\nC5/1 |.\n", "two.tiny"
    )
    assert not part_list(spots[:1], score).plural
    assert part_list(spots[1:], score).plural
    assert part_list(spots, score).plural


@pytest.mark.parametrize(("notes", "begins"), [("C5", "Is C5 in"), ("C5 and D5", "Are C5 and D5")])
def test_the_verb_goes_with_the_notes(notes: str, begins: str) -> None:
    """One note is asked about in the singular, several in the plural."""
    asked = words_for(
        Finding("pitch-outside-instrument", (spot(1),), (), (
            ("notes", notes), ("side", "below"), ("limit", "D5"),
        )),
        score(),
    )  # fmt: skip
    assert asked.question.startswith(begins)


def test_a_finding_of_another_edition_keeps_its_name() -> None:
    """A kept finding that lacks a fact, or whose check is gone, is named and never an error."""
    for slug, title in (("tune-covered", "Tune covered"), ("no-such-check", "No such check")):
        words = kept_words(Finding(slug, (Spot(0, 0, "P1", 1, 0),), ()), score())
        assert words.title == title
        assert "compute the entry again" in words.statement
