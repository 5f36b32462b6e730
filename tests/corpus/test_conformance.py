"""Every file of the unofficial MusicXML test suite is read as its own description asks."""

import tomllib
from pathlib import Path

import pytest

from redstave.reading import read
from tools.conformance import agrees, answer

pytestmark = pytest.mark.corpus
EXPECTED = tomllib.loads((Path(__file__).parent / "conformance.toml").read_text(encoding="utf-8"))


def test_every_file_has_its_expectation(scores: Path) -> None:
    """The table speaks of every file of the suite that is here, and of no other."""
    assert {path.stem for path in (scores / "suite").iterdir()} == EXPECTED.keys()


@pytest.mark.parametrize("name", EXPECTED)
def test_the_description_is_met(scores: Path, name: str) -> None:
    """Onsets, voices, ends of spans and marks are those that the description tells."""
    (path,) = (scores / "suite").glob(f"{name}.*")
    score = read(path)
    wrong = {
        question: (given, expected)
        for question, expected in EXPECTED[name].items()
        if question != "departs" and not agrees(given := answer(score, question), expected)
    }
    assert wrong == {}
    assert EXPECTED[name].keys() - {"departs"}


def test_an_answer_can_differ() -> None:
    """An open end forgives what follows, and nothing before it."""
    assert agrees("a b c", "a b *")
    assert agrees("a*3", "a*3")
    assert not agrees("a c", "a b *")
    assert not agrees("a", "a*3")
