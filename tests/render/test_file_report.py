"""What is wrong with a file, told so that its writer can act on it."""

import re
from pathlib import Path

import pytest

from redstave.app.marked_entry import TAKEN_OFF
from redstave.reading import read_bytes
from redstave.render.file_report import file_report, problem_words
from tests.reading.inline import NOTE, xml_of_bars

KINDS = re.compile(r'(?:\bproblem|problems\.add)\(\s*"([a-z-]+)"', re.DOTALL)
SPANS = ("slur", "tie", "hairpin", "tuplet", "glissando", "slide", "dashes", "bracket", "pedal")
SPANS = (*SPANS, "octave-shift", "wavy-line", "tremolo")
OPEN = "<direction><direction-type><wedge type='crescendo'/></direction-type></direction>"
STOP = "<direction><direction-type><wedge type='stop'/></direction-type></direction>"


def codes_in_the_reader(root: Path) -> set[str]:
    """Return every code that the reader can report."""
    texts = [path.read_text() for path in (root / "src" / "redstave" / "reading").rglob("*.py")]
    codes = {code for text in texts for code in KINDS.findall(text)}
    codes |= {f"{kind}-without-{end}" for kind in SPANS for end in ("end", "beginning")}
    return (
        codes
        | {"container", "converted", "hairpin-without-length", "short-bar", "overfull-bar"}
        | {TAKEN_OFF}
    )


def test_every_kind_of_problem_has_words(root: Path) -> None:
    """There are words for each code of the reader, and for no code that it does not have."""
    assert problem_words().keys() == codes_in_the_reader(root)


@pytest.mark.parametrize("code", sorted(problem_words()))
def test_the_words_are_whole_sentences(code: str) -> None:
    """Each kind says what is wrong and what it means; several are counted."""
    words = problem_words()[code]
    assert words["weight"] in (1, 2, 3)
    for name in ("one", "many", "means"):
        if name in words:
            assert re.fullmatch(r"[#A-Z].*\.", str(words[name]))
    assert "#" in str(words.get("many", "#"))
    assert "#" not in str(words["one"]) + str(words["means"])


def test_problems_are_gathered_by_kind() -> None:
    """Three hundred open hairpins are one line with their number, before what is only untidy."""
    bars = [OPEN * 75 + NOTE.format("") for _ in range(4)]
    data = xml_of_bars(*bars, "<nota/>" + STOP + NOTE.format(""))
    themes = file_report(read_bytes(data, "x.xml"))
    assert [(theme.code, theme.times) for theme in themes] == [
        ("hairpin-without-end", 299),
        ("unknown-element", 1),
    ]
    assert themes[0].text == "299 hairpins have no end."
    assert themes[0].places.startswith("P1, bars 1, 2")


def test_a_sound_file_has_nothing_to_report() -> None:
    """Without problems there is no report."""
    assert file_report(read_bytes(xml_of_bars(NOTE.format("")), "x.xml")) == ()
