"""Who plays from which stave in which bar, and what is told of it."""

import pytest

from redstave.app.desk import heard_in_bars, jumps, tones_in_bars
from redstave.app.desk.heard import states
from redstave.render.view import Audibility
from tests.app.desk.entry import opened


def test_lines_are_found_by_stave_and_bar() -> None:
    """Every stave that plays in a bar has its line, a resting one none; both staves of the harp."""
    one = opened()
    names = [line.name for line in one.analysis.playing.lines]
    found = {place: [names[line] for line in lines] for place, lines in one.lines_at.items()}
    assert found["P1", 1, 0] == ["Flute"]
    assert found["P2", 1, 0] == found["P2", 2, 0] == ["Harp"]
    assert ("P2", 1, 2) not in found
    assert found["P2", 2, 2] == ["Harp"]
    assert ("P1", 1, 2) not in found


def test_ribbons_and_words_agree() -> None:
    """The state of a stave is the worst of those told of its lines."""
    one = opened()
    seen = states(one, 0, 3)
    for row in heard_in_bars(one, 0, 3):
        told = {line["state"] for line in row["lines"]}  # type: ignore[attr-defined]
        assert str(seen[row["part"], row["stave"], row["bar"]]) in told  # type: ignore[index]
    assert seen["P3", 1, 0] is Audibility.HEARD
    assert seen["P1", 1, 0] is Audibility.COVERED


def test_rows_stand_in_the_order_of_the_page() -> None:
    """Bars follow each other; in a bar the staves go from top to bottom."""
    rows = heard_in_bars(opened(), 0, 1)
    assert [(row["bar"], row["part"], row["stave"]) for row in rows] == [
        (0, "P1", 1),
        (0, "P2", 1),
        (0, "P2", 2),
        (0, "P3", 1),
        (1, "P1", 1),
        (1, "P3", 1),
    ]


def test_a_line_that_cannot_be_judged_says_so() -> None:
    """An instrument that is not understood has neither state nor margin, and words for it."""
    one = opened("meter: 4/4\npart Zyrgle\np C5/1 |.\npart Flute\np C5/1 |.\n")
    (row, _) = heard_in_bars(one, 0, 0)
    (line,) = row["lines"]  # type: ignore[misc]
    assert (line["state"], line["margin_db"]) == ("unknown", None)
    assert "not judged" in line["words"]


def test_places_to_go_to() -> None:
    """Bars as printed, letters with their bars, sections that cover the piece."""
    found = jumps(opened())
    assert found["bars"] == ["1", "2", "3", "4"]
    assert found["letters"] == [{"bar": 1, "text": "A"}]
    sections = found["sections"]
    assert isinstance(sections, list)
    assert (sections[0]["first"], sections[-1]["last"]) == (0, 3)


def test_tones_of_one_bar_begin_and_end_in_it() -> None:
    """At 60 quarters a minute a bar lasts four seconds; its tones lie inside and are all there."""
    sound = tones_in_bars(opened(), 0, 0)
    assert sound["seconds"] == 4.0
    tones = sound["tones"]
    assert isinstance(tones, list)
    assert len(tones) == 1 + 5 + 1
    assert all(0 <= tone["start"] < tone["stop"] <= 4 for tone in tones)


def test_a_swell_goes_on_through_the_bars() -> None:
    """Of a tone swelling over two bars the second bar begins where the first has ended."""
    text = "meter: 4/4\ntempo: 60\npart Flute\np < C5/1~ | C5/1 = f | C5/1 |.\n"
    one = opened(text)
    (first,) = tones_in_bars(one, 0, 0)["tones"]  # type: ignore[misc]
    (second,) = tones_in_bars(one, 1, 1)["tones"]  # type: ignore[misc]
    assert first["gain_db"][0] == 0
    assert 0 < first["gain_db"][1] == second["gain_db"][0] < second["gain_db"][1]


def test_a_plucked_tone_dies_away() -> None:
    """A harp's tone held into the next bar is softer there, by what its decay says."""
    one = opened("meter: 4/4\ntempo: 60\npart Harp\nmf C5/1~ | C5/1 |.\n")
    (first,) = tones_in_bars(one, 0, 0)["tones"]  # type: ignore[misc]
    (second,) = tones_in_bars(one, 1, 1)["tones"]  # type: ignore[misc]
    assert (second["start"], second["gain_db"][0]) == (0.0, first["gain_db"][1])
    assert second["gain_db"][0] < 0
    assert second["gain_db"][1] == pytest.approx(2 * second["gain_db"][0], abs=0.2)


def test_levels_of_tones_are_those_of_the_analysis() -> None:
    """The trombone in ff is far louder than the flute in p, as the analysis has it."""
    one = opened()
    tones = tones_in_bars(one, 1, 1)["tones"]
    assert isinstance(tones, list)
    flute, trombone = sorted(tones, key=lambda tone: tone["line"])
    loudest = [max(db for _, db in tone["partials"]) for tone in (flute, trombone)]
    assert loudest[1] > loudest[0] + 12


def test_what_is_unknown_is_left_out_and_counted() -> None:
    """A tone without known sound is silent, and the number of such tones is told."""
    one = opened("meter: 4/4\npart Zyrgle\np C5/1 |.\npart Flute\np C5/1 |.\n")
    sound = tones_in_bars(one, 0, 0)
    assert sound["left_out"] == 1
    assert len(sound["tones"]) == 1  # type: ignore[arg-type]
