"""Files damaged in their structure: every element is in the Score or reported, none is lost.

The elements are counted by a plain walk of lxml; the damage is done by `fuzz.damage`.
"""

import time
from pathlib import Path

import pytest
from lxml import etree

from fuzz.damage import damaged_files, outcome_of, real_scores, suite_files
from redstave.model.score import Score
from redstave.reading import account_of, read_bytes
from tests.reading.inline import NOTE, codes, xml_of_bars, xml_of_parts

WHOLE = NOTE.format("")
DATA = xml_of_bars(WHOLE, WHOLE + "<barline><bar-style>light-heavy</bar-style></barline>")
GROUP = "<part-group number='1' type='{}'/>"
PART = "<score-part id='A'><part-name>A</part-name></score-part>"


def read_whole(data: bytes) -> Score:
    """Read a file; nothing in it may be lost."""
    score = read_bytes(data, "x.xml")
    assert [row for row in account_of(score, data) if row.lost] == []
    return score


@pytest.mark.corpus
def test_damaged_real_scores_lose_nothing(scores: Path) -> None:
    """Large files too: most are above 30 kB. `python -m fuzz.damage 3000` tries more."""
    assert scores
    started = time.process_time()
    outcomes = [outcome_of(data) for data in damaged_files(real_scores(), 150, seed=3)]
    assert [outcome.lost for outcome in outcomes if outcome.lost] == []
    assert sum(outcome.size > 30_000 for outcome in outcomes) > 100
    assert time.process_time() - started < 60


@pytest.mark.corpus
def test_damaged_suite_files_lose_nothing(scores: Path) -> None:
    """Small files that have every mark; few are refused."""
    assert scores
    outcomes = [outcome_of(data) for data in damaged_files(suite_files(), 300, seed=3)]
    assert [outcome.lost for outcome in outcomes if outcome.lost] == []
    assert sum(outcome.refused for outcome in outcomes) < 30


def test_a_loss_would_be_told() -> None:
    """Against a file that holds one note more than was read, the account names that note."""
    lost = {
        row.element for row in account_of(read_bytes(DATA, "x.xml"), _with_rest(DATA)) if row.lost
    }
    assert lost == {"note", "rest"}


def _with_rest(data: bytes) -> bytes:
    return data.replace(b"</measure>", b"<note><rest/></note></measure>", 1)


def test_what_stands_in_the_style_of_a_barline_is_reported() -> None:
    """It holds no others; a second style is reported too."""
    style = b"<bar-style>light-heavy</bar-style>"
    inside = DATA.replace(b"light-heavy", b"light-heavy<repeat direction='backward'/>")
    assert codes(read_whole(inside)) == ["unknown-element"]
    assert codes(read_whole(DATA.replace(style, style + style))) == ["unknown-element"]


@pytest.mark.parametrize(
    "notations",
    [
        "<tied type='let-ring'><duration>1</duration></tied>",
        "<tied/>",
        "<articulations><notations><accent/></notations></articulations>",
        "<ornaments><direction-type><dashes/></direction-type></ornaments>",
    ],
)
def test_misplaced_notations_are_kept_or_reported(notations: str) -> None:
    """What stands in a tie, and what only holds others where it should not."""
    read_whole(xml_of_bars(NOTE.format(f"<notations>{notations}</notations>")))


def test_notations_without_a_notation_are_reported() -> None:
    """Where they say something; empty ones say nothing."""
    said = "<notations number='1'>end</notations>"
    assert codes(read_whole(xml_of_bars(NOTE.format(said)))) == ["unknown-element"]
    assert codes(read_whole(xml_of_bars(NOTE.format("<notations/>")))) == []


def test_what_should_hold_others_and_says_something_itself_is_reported() -> None:
    """Articulations that are empty but have attributes; a barline whose style is not told."""
    data = DATA.replace(b"<type>", b"<articulations type='start'/><type>", 1)
    assert codes(read_whole(data)) == ["unknown-element"]
    assert codes(read_whole(DATA.replace(b"light-heavy", b""))) == ["unknown-element"]
    words = "<direction-type><words>x</words></direction-type>"
    data = xml_of_bars(f"<direction><direction-type id='a'/>{words}</direction>{WHOLE}")
    assert codes(read_whole(data)) == ["unknown-element"]


def test_a_layout_keeps_what_should_not_stand_in_it() -> None:
    """Whatever it is."""
    laid = "<print><articulations><staccato default-x='1'/></articulations></print>"
    read_whole(xml_of_bars(laid + WHOLE))


def test_a_bracket_of_parts_says_whether_it_starts_or_stops() -> None:
    """One that says something else is reported."""
    bar = f"<measure number='1'>{WHOLE}</measure>"
    for kind in ("0", "middle"):
        data = xml_of_parts({"A": bar}, GROUP.format("start") + PART + GROUP.format(kind))
        assert "bad-type" in codes(read_whole(data))


@pytest.mark.parametrize(
    ("old", "new", "named"),
    [
        ("score-part id=", "part id=", "part"),
        ("part-list", "measure", "measure"),
        ("part-name", "credit", "credit"),
    ],
)
def test_what_is_misplaced_is_reported_with_all_in_it(old: str, new: str, named: str) -> None:
    """Once: the outermost element is named, and the account knows what stands in it."""
    text = DATA.decode().replace("><", ">\n<").replace(f"<{old}", f"<{new}")
    closed = old.partition(" ")[0]
    data = text.replace(f"</{closed}>", f"</{new.partition(' ')[0]}>").encode()
    said = [problem.text for problem in read_whole(data).problems]
    assert sum(text.startswith(f"<{named}> stands where") for text in said) == 1


def test_many_misplaced_bars_are_one_problem() -> None:
    """A part under another name: its three hundred bars are not told one by one."""
    bars = "".join(f"\n<measure number='{number}'>{WHOLE}</measure>" for number in range(300))
    data = xml_of_parts({"A": f"<measure number='1'>{WHOLE}</measure>", "B": bars})
    head, _, tail = data.rpartition(b"<part ")
    renamed = head + b"\n<tie " + tail.replace(b"</part>", b"</tie>")
    score = read_whole(renamed)
    assert codes(score).count("misplaced-element") == 1
    assert etree.fromstring(renamed).find("tie") is not None


@pytest.mark.parametrize(
    ("old", "new"),
    [
        ("<voice>1", "<voice>1<pitch/>"),
        ("<duration>4", "<duration>4<rest/>"),
        ("<step>C", "<step>C<alter>1</alter>"),
        ("<type>", "<chord><voice>2</voice></chord><type>"),
        ("<divisions>1", "<divisions>1<words>x</words>"),
        ("<note>", "<forward><duration>0<grace/></duration></forward><note>"),
        (
            "<note>",
            "<direction><direction-type><words>x</words></direction-type>"
            "<staff>1<pitch/></staff></direction><note>",
        ),
    ],
)
def test_what_stands_in_an_element_that_holds_none_is_reported(old: str, new: str) -> None:
    """No field of the Score could hold it."""
    data = DATA.replace(old.encode(), new.encode(), 1)
    assert "unknown-element" in codes(read_whole(data))


def test_a_direction_says_its_place_once() -> None:
    """A second stave is reported; the last one is believed."""
    words = "<direction-type><words>x</words></direction-type>"
    data = xml_of_bars(f"<direction>{words}<staff>1</staff><staff>1</staff></direction>{WHOLE}")
    assert codes(read_whole(data)) == ["repeated-element"]
