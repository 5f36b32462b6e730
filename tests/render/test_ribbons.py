"""Hearing ribbons and level plan: one mark for each line and bar, readable without colour."""

import re
from dataclasses import replace

import pytest
from lxml import etree

from redstave.model.line import Forces
from redstave.render.level_plan import level_plan
from redstave.render.ribbons import MOST_BARS, WIDTH, ribbons, row_pitch
from redstave.render.view import Audibility, HearingRow, WholePiece
from tests.render.views import whole


def pictures(text: str) -> list[etree._Element]:
    """Return the SVGs of a drawing."""
    return list(etree.fromstring(f"<div>{text}</div>"))


def marks(text: str) -> dict[str, int]:
    """Count the marks ("M…" of a path) of each state, the legend's three of each left out."""
    found: dict[str, int] = {}
    for state, d in re.findall(r'<path class="cell (\w+)" d="([^"]+)"', text):
        found[state] = found.get(state, 0) + d.count("M")
    return {state: count - 3 for state, count in found.items() if count > 3}


@pytest.mark.parametrize(("rows", "bars"), [(1, 1), (8, 24), (44, 207), (3, 700)])
def test_one_mark_for_each_line_and_bar(rows: int, bars: int) -> None:
    """Every cell that is not silent is drawn exactly once, in its own state."""
    piece = whole(rows, max(bars, 2))
    cells = [cell for row in piece.hearing for cell in row.cells]
    expected = {s.value: cells.count(s) for s in Audibility if s is not Audibility.SILENT}
    assert marks(ribbons(piece)) == {state: count for state, count in expected.items() if count}


def test_states_differ_in_shape() -> None:
    """Heard, doubtful and covered differ in height or place even where all ink is black."""
    piece = WholePiece(
        ("1", "2", "3"),
        hearing=(
            HearingRow("Oboe", "", (Audibility.HEARD, Audibility.DOUBTFUL, Audibility.COVERED)),
        ),
    )
    text = ribbons(piece)
    heard, doubtful, covered = (
        re.findall(rf'class="cell {state}" d="M[\d.]+ ([\d.]+)v(-?[\d.]+)', text)[0]
        for state in ("heard", "doubtful", "covered")
    )
    assert float(heard[1]) < float(doubtful[1]) < 0  # upwards from the row, one higher
    assert float(covered[1]) > 0  # below the row
    assert 'class="hatch"' in text


def test_long_pieces_are_broken_into_panels() -> None:
    """No panel holds more bars than can be told apart, and all are of one size."""
    found = pictures(ribbons(whole(2, 2 * MOST_BARS + 1)))
    assert len(found) == 3
    assert {svg.get("width") for svg in found} == {str(int(WIDTH))}


def test_hatching_stays_in_its_cells() -> None:
    """Every stroke lies inside a doubtful cell, and every doubtful cell has some."""
    states = (Audibility.DOUBTFUL, Audibility.HEARD, Audibility.DOUBTFUL, Audibility.DOUBTFUL)
    text = ribbons(WholePiece(("1", "2", "3", "4"), hearing=(HearingRow("Oboe", "", states),)))
    cells = re.findall(r"M([\d.]+) ([\d.]+)v-([\d.]+)h([\d.]+)v", _of(text, "cell doubtful"))
    boxes = [tuple(map(float, cell)) for cell in cells]
    strokes = re.findall(r"M([\d.]+) ([\d.]+)l([\d.]+) -([\d.]+)", _of(text, "hatch"))
    home = set()
    for x, y, across, up in (tuple(map(float, stroke)) for stroke in strokes):
        inside = [
            box
            for box in boxes
            if box[0] - 0.1 <= x
            and x + across <= box[0] + box[3] + 0.1
            and y <= box[1] + 0.1
            and y - up >= box[1] - box[2] - 0.1
        ]
        assert inside, (x, y)
        home.add(inside[0])
    assert home == set(boxes)


def _of(text: str, kind: str) -> str:
    return re.findall(rf'<path class="{kind}" d="([^"]+)"', text)[0]


def test_everything_lies_inside_the_picture() -> None:
    """No name, number or mark of a large score leaves the frame."""
    for svg in pictures(ribbons(whole(44, 207)) + level_plan(whole(44, 207))):
        _, _, width, height = (float(word) for word in str(svg.get("viewBox")).split())
        for text in svg.iter("text"):
            assert 0 <= float(text.get("x", "0")) <= width
            assert 0 <= float(text.get("y", "0")) <= height
        for path in svg.iter("path"):
            for x, y in re.findall(r"[ML]([\d.-]+) ([\d.-]+)", str(path.get("d"))):
                assert -1 <= float(x) <= width + 1
                assert -1 <= float(y) <= height + 1


def test_a_letter_at_the_last_bar_is_drawn_whole() -> None:
    """The box of a rehearsal letter never passes the right edge, however late it stands."""
    piece = replace(whole(2, 240), letters=((239, "Meno mosso"),))
    (box,) = re.findall(r'class="box" d="M([\d.]+) [\d.]+h([\d.]+)', ribbons(piece))
    assert float(box[0]) + float(box[1]) <= WIDTH


def test_rows_stay_readable() -> None:
    """Rows are never closer than 12 px, and 44 staves still fit on a 13-inch screen."""
    assert row_pitch(8) == 26.0
    assert row_pitch(44) >= 12.0
    assert 44 * row_pitch(44) < 700


def test_hostile_names_stay_names() -> None:
    """A line or rehearsal letter that looks like markup is text."""
    evil = "</text><script>x</script>"
    piece = WholePiece(("1",), ((0, evil),), (HearingRow(evil, evil, (Audibility.HEARD,)),))
    assert not any(list(svg.iter("script")) for svg in pictures(ribbons(piece)))


def test_the_level_plan_steps_with_the_levels() -> None:
    """A louder bar lies higher, a bar without a level is a gap."""
    text = level_plan(whole())
    loud = re.findall(r'class="loud" d="M([^"]+)"', text)
    assert len(loud) == 2  # bar 2 has no level: a stretch before and one after
    first, last = (float(stretch.split("L")[-1].split()[1]) for stretch in loud)
    assert last < first


def test_levels_of_a_family_are_those_of_its_lines() -> None:
    """Softest and loudest of a bar are taken over the tones that begin in it and are marked."""
    from redstave.instruments import load
    from redstave.players import play
    from redstave.reading import read_bytes
    from redstave.render.level_plan import level_rows
    from tests.render.quay import quay

    score = read_bytes(quay(), "quay.musicxml")
    rows = {row.family: row for row in level_rows(score, play(score, Forces(), load()))}
    assert rows["Strings"].loudest[0] == rows["Strings"].softest[0] == 2.0  # pp
    assert rows["Strings"].loudest[1] is None
    assert rows["Woodwind"].softest[0] == 3.0  # p
    assert rows["Harp"].loudest[3] == 5.0  # mf
