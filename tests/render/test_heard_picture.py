"""Before and after: bars of the right length, whiskers of the right reach, states in words."""

import re

import pytest
from lxml import etree

from redstave.model.remark import Heard, LinkedTrial
from redstave.render.heard_picture import (
    MOST_ROWS,
    WIDTH,
    heard_picture,
    not_shown,
    shown,
    words_of,
)


def trial(*rows: Heard) -> LinkedTrial:
    """Return a trial that shows the rows."""
    return LinkedTrial("", ("Do it.",), rows)


def bars(svg: str, kind: str) -> list[tuple[float, float]]:
    """Return left and right end of each bar of a kind."""
    found = re.findall(rf'class="bar {kind}" d="M([\d.]+) [\d.]+H([\d.]+)', svg)
    return [(float(left), float(right)) for left, right in found]


def whiskers(svg: str) -> list[tuple[float, float]]:
    """Return left and right end of each whisker."""
    found = re.findall(r'class="whisker" d="M([\d.]+) [\d.]+v6m0 -3H([\d.]+)', svg)
    return [(float(left), float(right)) for left, right in found]


def test_bars_are_drawn_to_one_scale() -> None:
    """Lengths are proportional to margins, whiskers to uncertainties, on both sides of 0 dB."""
    svg = heard_picture(trial(Heard("Flute", -5.0, 10.0, 2.5, "covered", "heard")))
    before, after = bars(svg, "before")[0], bars(svg, "after")[0]
    assert before[1] == after[0]  # 0 dB
    assert (after[1] - after[0]) / (before[1] - before[0]) == pytest.approx(2, abs=0.02)
    left, right = whiskers(svg)[1]
    assert (right - left) / (after[1] - after[0]) == pytest.approx(0.5, abs=0.02)
    assert (left + right) / 2 == pytest.approx(after[1], abs=0.2)


def test_states_are_told_by_word_and_shape() -> None:
    """A full disc, a half one and a ring, each beside its word; colour says nothing alone."""
    svg = heard_picture(
        trial(
            Heard("A", 9.0, 9.0, 1.0, "heard", "heard"),
            Heard("B", 1.0, 1.0, 4.0, "doubtful", "doubtful"),
            Heard("C", -9.0, -9.0, 1.0, "covered", "covered"),
        )
    )
    shapes = re.findall(r'class="(disc[^"]*)" d="(M[^"]+)"', svg)
    kinds = [kind for kind, _ in shapes]
    assert kinds == ["disc full"] * 2 + ["disc", "disc full"] * 2 + ["disc"] * 2
    assert len({d.partition("c")[2] for _, d in shapes}) == 2  # whole and half
    for word in ("heard, +9 ± 1 dB", "doubtful, +1 ± 4 dB", "covered, −9 ± 1 dB"):
        assert svg.count(f">{word}<") == 2


@pytest.mark.parametrize("margin", [-99.0, 0.0, 400.0])
def test_nothing_leaves_the_picture(margin: float) -> None:
    """A line that gives the ear nothing at all, or far too much, ends at the frame."""
    svg = heard_picture(trial(Heard("x" * 200, margin, margin, 9.0, "covered", "heard")))
    root = etree.fromstring(svg)
    for left, right in [*bars(svg, "before"), *bars(svg, "after"), *whiskers(svg)]:
        assert 0 <= left <= right <= WIDTH
    assert all(len("".join(text.itertext())) < 40 for text in root.iter("text"))


def test_it_says_in_words_what_it_shows() -> None:
    """The words for those who do not see it hold every figure and state."""
    told = words_of(trial(Heard("Flute 1", -4.2, 6.8, 5.4, "covered", "heard")))
    assert told.endswith("Flute 1: before −4 ± 5 dB, covered; after +7 ± 5 dB, heard.")


def test_lines_that_stay_as_they_are_may_be_left_out() -> None:
    """Every line whose state changes is drawn, some others too; the rest is named."""
    still = [Heard(f"Horn {n}", 9.0, 8.0, 2.0, "heard", "heard") for n in range(9)]
    moved = [Heard(f"Flute {n}", -9.0, 8.0, 2.0, "covered", "heard") for n in range(7)]
    rows, others = shown(trial(*still[:6], *moved))
    assert set(rows) == set(moved)
    assert list(others) == still[:6]
    rows, others = shown(trial(*still, moved[0]))
    assert rows == (*still[: MOST_ROWS - 1], moved[0])
    assert not_shown(trial(*still[:7])) == (
        "Not drawn, because they stay as they are: Horn 5 and Horn 6."
    )
    assert not_shown(trial(*moved)) == ""
