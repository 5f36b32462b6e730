"""The catalogue keeps its promises: names, headings, sources, examples and words."""

import re
from importlib.resources import files
from pathlib import Path

import pytest

from redstave.analysis.tables import bibliography as table_sources
from redstave.base.citation import Bibliography, read_bibliography
from redstave.checks import catalogue, run_checks
from redstave.checks.registry import HEADINGS, Check
from redstave.model.finding import Claim
from redstave.render.wording import sentence, words_for
from tools.examples import example

HERE = Path(__file__).parent
CHECKS = list(catalogue().values())
SLUG = re.compile(r"[a-z]+(-[a-z]+)+")


@pytest.fixture(scope="module")
def own_sources() -> Bibliography:
    """The sources that the checks alone lean on."""
    text = (files("redstave.checks") / "sources.toml").read_text("utf-8")
    return read_bibliography(text)


@pytest.fixture(scope="module")
def bibliography(own_sources: Bibliography) -> Bibliography:
    """The sources of the checks and of the tables they count with."""
    assert not own_sources.keys() & table_sources().keys(), "one work, one entry"
    return {**table_sources(), **own_sources}


@pytest.mark.parametrize("check", CHECKS, ids=lambda check: check.slug)
def test_slug_is_well_formed_and_names_its_file(check: Check) -> None:
    """A slug is words joined by hyphens, and its module carries the same name."""
    assert SLUG.fullmatch(check.slug)
    assert check.judge.__module__.split(".")[-1] == check.slug.replace("-", "_")


@pytest.mark.parametrize("check", CHECKS, ids=lambda check: check.slug)
def test_docstring_has_the_headings_in_order(check: Check) -> None:
    """Each heading stands once, on a line of its own, in the fixed order, with text below it."""
    lines = check.text.splitlines()
    places = [lines.index(heading) for heading in HEADINGS]
    assert places == sorted(places)
    for heading, place in zip(HEADINGS, places, strict=True):
        assert lines.count(heading) == 1
        assert lines[place + 1].strip(), f"nothing stands under {heading}"


@pytest.mark.parametrize("check", CHECKS, ids=lambda check: check.slug)
def test_every_source_is_in_the_bibliography(check: Check, bibliography: Bibliography) -> None:
    """Sources of a check and of its settings are keys of the bibliography."""
    keys = {*check.sources, *(setting.source for setting in check.settings)}
    assert check.sources
    assert keys <= bibliography.keys()


def test_no_source_is_idle(own_sources: Bibliography) -> None:
    """Every entry of the checks' own bibliography is used by some check."""
    used = {key for check in CHECKS for key in check.sources}
    used |= {setting.source for check in CHECKS for setting in check.settings}
    assert own_sources.keys() <= used


@pytest.mark.parametrize("check", CHECKS, ids=lambda check: check.slug)
def test_settings_can_be_moved(check: Check) -> None:
    """A changed setting is in force, and names are told once."""
    names = [setting.name for setting in check.settings]
    assert len(set(names)) == len(names)
    changed = {setting.name: setting.default + 1.0 for setting in check.settings}
    assert check.limits(changed) == changed


@pytest.mark.parametrize("check", CHECKS, ids=lambda check: check.slug)
def test_examples_exist(check: Check) -> None:
    """Every check has a good and a bad score."""
    for kind in ("good", "bad"):
        assert (HERE / check.slug / f"{kind}.tiny").is_file()


@pytest.mark.parametrize("check", CHECKS, ids=lambda check: check.slug)
def test_words_are_complete_for_the_example(check: Check) -> None:
    """Every template can be filled from what the check finds in the score it fires in."""
    kind = "good" if check.claim is Claim.CREDIT else "bad"
    analysis = example(check.slug, kind)
    found = run_checks(analysis, [check]).findings
    assert found
    for finding in found:
        words = words_for(finding, analysis.score)
        for claim in Claim:
            assert "{" not in sentence(words, claim)
