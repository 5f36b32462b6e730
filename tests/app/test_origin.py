"""What became of the piano piece, as data, and originals that cannot be used."""

from pathlib import Path

import pytest

from redstave import app
from redstave.analysis import Analysis
from redstave.app.demo_entry import copy_demo
from redstave.base.errors import InputError
from redstave.model.finding import Claim


@pytest.fixture(scope="module")
def demo(tmp_path_factory: pytest.TempPathFactory) -> Analysis:
    """The demo entry beside its original."""
    entry, original = copy_demo(tmp_path_factory.mktemp("demo"))
    return app.with_original(app.open_entry(entry), original)


def test_bars_are_told_by_number_and_by_index(demo: Analysis) -> None:
    """The demo keeps all forty bars; numbers are as printed, indices begin at 0."""
    bars = app.origin(demo)["bars"]
    assert [(one["entry"], one["original"]) for one in bars] == [(n, n) for n in range(1, 41)]
    assert [one["entry_index"] for one in bars] == list(range(40))


def test_planted_habits_are_found_and_nothing_else_is_asked(demo: Analysis) -> None:
    """The two piano habits planted in the demo are found in their bars and staves, no third one."""
    checks = [check for check in app.choose() if check.family == "origin"]
    faults = app.review(demo, "demo", checks).faults
    found = {
        (one.slug, demo.score.bars[one.spots[0].bar].number, demo.score.parts_by_id[spot.part].name)
        for one in faults
        for spot in one.spots
    }
    assert found == {
        ("keyboard-arcs-copied", "1", "Clarinet in B♭ 1. 2"),
        ("keyboard-figure-copied", "21", "Bassoon 1. 2"),
    }
    assert {one.claim for one in faults} == {Claim.QUESTION}


def test_sections_are_those_of_the_challenge(demo: Analysis) -> None:
    """The demo's page cuts where its challenge says that something new happens."""
    firsts = [one["first_bar"] for one in app.origin(demo)["sections"]]
    assert firsts == [1, 9, 17, 21, 29, 37]
    assert app.origin(demo)["peak"]["original"] == [26, 27]


def test_the_teacher_cuts(demo: Analysis) -> None:
    """Sections named by the teacher overrule all others; a bar that is not there is told."""
    cut = app.with_cuts(demo, "5, 30")
    assert [one["first_bar"] for one in app.origin(cut)["sections"]] == [1, 5, 30]
    assert cut.original is demo.original
    with pytest.raises(InputError, match='bar "41"'):
        app.with_cuts(demo, "41")


def test_without_an_original_every_check_of_it_says_so(demo: Analysis) -> None:
    """No check of the family crashes or judges without the piano piece."""
    checks = [check for check in app.choose() if check.family == "origin"]
    alone = app.review(Analysis(demo.score), "demo", checks)
    assert {one.reason for one in alone.not_assessed} == {"no original was given"}
    assert len(alone.not_assessed) == len(checks) > 10


def test_a_review_tells_which_original_it_rests_on(demo: Analysis) -> None:
    """The provenance holds the digest of the piano piece, or nothing."""
    assert demo.original is not None
    done = app.review(demo, "demo", app.choose(only=["source-complete"]))
    assert done.provenance.original == demo.original.origin.sha256
    alone = app.review(Analysis(demo.score), "demo", app.choose(only=["source-complete"]))
    assert alone.provenance.original == ""


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("part Piano\nR | R |\n", "holds no notes"),
        (
            'meter: 4/4\ntempo: 96 "Presto"\npart Piano\n'
            "mf [C#4 F#4 C#5]/16 C#4 [D#4 G#4] C#4 "
            + "[F#4 A#4] C#4 [D#4 G#4] C#4 " * 3
            + "| " * 1,
            "nothing in common",
        ),
    ],
)
def test_an_original_that_cannot_be_used_is_told_in_one_sentence(
    tmp_path: Path, demo: Analysis, text: str, words: str
) -> None:
    """An empty piece, and one that has nothing to do with the entry, are refused."""
    path = tmp_path / "other.tiny"
    path.write_text(f"title: Other\n{text}", encoding="utf-8")
    with pytest.raises(InputError, match=words):
        app.with_original(demo, path)
