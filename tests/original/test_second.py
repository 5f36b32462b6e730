"""Bars of two versions of one score, matched by what stands in them."""

from random import Random

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from redstave.model.match import NO_BAR
from redstave.model.score import Score
from redstave.original.second import bars_between, parts_between
from redstave.reading import read_bytes

STEPS = "CDEFGAB"


def score(*staves: list[str], names: tuple[str, ...] = ("Flute", "Viola")) -> Score:
    """A score of bars in tiny notation, a list for each stave."""
    parts = "\n".join(
        f"part {name}\n{' | '.join(bars)} |." for name, bars in zip(names, staves, strict=False)
    )
    return read_bytes(f"title: X\nmeter: 4/4\n{parts}\n".encode(), "x.tiny")


def tune(bars: int, seed: int, octave: int = 5) -> list[str]:
    """Bars of four notes, all different as a rule."""
    chance = Random(seed)
    return [" ".join(f"{chance.choice(STEPS)}{octave}/4" for _ in range(4)) for _ in range(bars)]


def told(before: Score, after: Score) -> list[tuple[int, int]]:
    """The pairs of bars alone."""
    return [pair[:2] for pair in bars_between(before, after)]


def test_the_same_score_is_the_same_bar_by_bar() -> None:
    """Nothing is changed, nothing new, nothing gone."""
    one = score(tune(12, 1), tune(12, 2, 4))
    pairs = bars_between(one, one)
    assert [pair[:3] for pair in pairs] == [(bar, bar, 1.0) for bar in range(12)]
    assert not [pair for pair in pairs if pair.changed]


@settings(max_examples=30)
@given(
    st.integers(0, 10_000),
    st.lists(st.integers(0, 19), unique=True, max_size=4),
    st.lists(st.integers(0, 15), max_size=3),
)
def test_bars_put_in_and_taken_out_are_known(seed: int, gone: list[int], new: list[int]) -> None:
    """Whatever bars are cut or put in, every other bar is found (truth by construction)."""
    staves = [tune(20, seed), tune(20, seed + 1, 4)]
    kept = [bar for bar in range(20) if bar not in gone]
    order: list[int] = list(kept)
    for number, at in enumerate(sorted(new, reverse=True)):
        order.insert(min(at, len(order)), -1 - number)
    added = [tune(len(new), seed + 7, 6), tune(len(new), seed + 8, 3)]
    after = [
        [stave[bar] if bar >= 0 else more[-1 - bar] for bar in order]
        for stave, more in zip(staves, added, strict=True)
    ]
    found = dict(told(score(*staves), score(*after)))
    right = {bar: at for at, bar in enumerate(order) if bar >= 0}
    assert {bar: found[bar] for bar in right} == right


def test_a_rewritten_bar_between_two_known_ones_is_that_bar() -> None:
    """A bar of which nothing is left is still the bar between its neighbours."""
    flute, viola = tune(8, 3), tune(8, 4, 4)
    rewritten = [*flute[:4], "R", *flute[5:]]
    lower = [*viola[:4], "C3/1", *viola[5:]]
    (changed,) = [
        pair for pair in bars_between(score(flute, viola), score(rewritten, lower)) if pair.changed
    ]
    assert changed[:2] == (4, 4)
    assert changed.parts == ("P1", "P2")


def test_changed_parts_are_named_by_the_later_version() -> None:
    """One note, one mark or one slur changed: the part it stands in, and no other, is named."""
    flute, viola = tune(6, 5), tune(6, 6, 4)
    for bar, other in ((2, "C5/4 D5 E5 r"), (3, "pp " + flute[3]), (4, "C5/4( D5) E5 F5")):
        changed = [*flute]
        changed[bar] = other
        base = [*flute]
        if bar == 4:
            base[bar] = "C5/4 D5 E5 F5"
        pairs = bars_between(score(base, viola), score(changed, viola))
        assert [(pair.after, pair.parts) for pair in pairs if pair.changed] == [(bar, ("P1",))]


def test_parts_are_known_by_name_in_another_order() -> None:
    """A part that has moved on the page is the same part; its bars have not changed."""
    flute, viola = tune(6, 7), tune(6, 8, 4)
    before, after = score(flute, viola), score(viola, flute, names=("Viola", "Flute"))
    assert parts_between(before, after) == {"P1": "P2", "P2": "P1"}
    assert not [pair for pair in bars_between(before, after) if pair.changed]


def test_the_same_music_for_other_instruments_is_the_same_bars() -> None:
    """Handed to other players, with a bar cut, the music is still found bar by bar."""
    flute = tune(10, 9)
    after = score(flute[:3] + flute[4:], names=("Oboe",))
    pairs = told(score(flute, names=("Flute",)), after)
    assert dict(pairs) == {
        **{n: n for n in range(3)},
        3: NO_BAR,
        **{n: n - 1 for n in range(4, 10)},
    }


@pytest.mark.parametrize(("before", "after"), [(1, 4), (4, 1), (1, 1)])
def test_short_scores_are_no_trouble(before: int, after: int) -> None:
    """Scores of one bar have all their bars accounted for."""
    pairs = told(score(tune(before, 1)), score(tune(after, 1)))
    assert sorted(one for one, _ in pairs if one != NO_BAR) == list(range(before))
    assert sorted(other for _, other in pairs if other != NO_BAR) == list(range(after))
