"""The account of a file: what is kept, what is reported, and that a loss would be seen."""

from collections.abc import Callable
from dataclasses import replace

import pytest

from redstave.model.score import Part, Score
from redstave.reading import Row, account_of, read_bytes, xml_of
from tests.reading.hostile.case import Case
from tests.reading.hostile.collection import every_case
from tests.reading.inline import NOTE, xml_of_bars

MARKED = (
    "<direction directive='yes'><direction-type><words>dolce</words></direction-type>"
    "<voice>1</voice><staff>1</staff></direction>"
    + NOTE.format(
        "<notations><slur type='start'/><technical><harmonic><natural/></harmonic></technical>"
        "</notations><lyric><text>la</text></lyric>"
    )
    + "<barline><bar-style>light-light</bar-style></barline>"
)
ENDED = NOTE.format("<notations><slur type='stop'/></notations>")
DATA = xml_of_bars(MARKED, ENDED)
CASES = [
    case
    for case in every_case("/secret", "http://127.0.0.1:9")
    if not case.refused and case.notes is not None and len(case.data) < 300_000
]


def lost(score: Score, data: bytes) -> dict[str, int]:
    """Return what the account tells as lost, by name."""
    return {row.element: row.lost for row in account_of(score, data) if row.lost}


def test_everything_is_kept_in_a_sound_file() -> None:
    """Each element is counted once, inside the one around it, and kept."""
    rows = account_of(read_bytes(DATA, "x.xml"), DATA)
    assert Row("measure", "note", 2, 2, 0) in rows
    assert Row("technical", "harmonic", 1, 1, 0) in rows
    assert Row("direction", "voice", 1, 1, 0) in rows
    assert sum(row.number - row.kept for row in rows) == 0


@pytest.mark.parametrize(
    ("change", "missing"),
    [
        (lambda part: replace(part, marks=()), {"words", "harmonic", "lyric", "bar-style"}),
        (lambda part: replace(part, spans=()), {"slur"}),
        (lambda part: replace(part, notes=part.notes[1:]), {"note", "pitch"}),
        (
            lambda part: replace(part, notes=tuple(n._replace(voice="9") for n in part.notes)),
            {"voice"},
        ),
        (
            lambda part: replace(part, notes=tuple(n._replace(octave=0) for n in part.notes)),
            {"pitch", "step", "octave"},
        ),
        (lambda part: replace(part, heading=()), {"score-part", "part-name"}),
    ],
)
def test_a_loss_would_be_seen(change: Callable[[Part], Part], missing: set[str]) -> None:
    """What is taken out of the Score, or told otherwise there, is told as lost."""
    score = read_bytes(DATA, "x.xml")
    poorer = replace(score, parts=(change(score.parts[0]),))
    assert missing <= lost(poorer, DATA).keys()
    assert lost(score, DATA) == {}


def test_what_could_not_be_read_is_reported() -> None:
    """A damaged pitch is not kept, but the problem points at it."""
    data = DATA.replace(b"<step>C</step><octave>5", b"\n<step>H</step><octave>5", 1)
    data = data.replace(b"<note><pitch>", b"<note>\n<pitch>")
    rows = {(row.inside, row.element): row for row in account_of(read_bytes(data, "x.xml"), data)}
    assert rows["note", "pitch"].reported == 1
    assert rows["note", "pitch"].lost == 0


@pytest.mark.parametrize("case", CASES, ids=lambda case: case.name)
def test_hostile_files_lose_nothing_silently(case: Case) -> None:
    """Whatever is damaged is kept as it stands or reported."""
    score = read_bytes(case.data, case.file)
    xml, _, _ = xml_of(case.data, case.file)
    assert lost(score, xml) == {}
