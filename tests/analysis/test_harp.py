"""The pedal harp against enumeration and harpists' notes.

Counts of playable pitch-class sets: an independent enumeration of all 2187 settings (the figures
219/220, 482/495, 718/792, 691/924, 359/792 and 0 are arithmetic, reproducible by anyone). Composing
for harp sheet (Canton and Overlach): G, G sharp, A named impossible; C, C sharp, D possible as
B sharp, C sharp, D.
"""

from itertools import combinations, product

import numpy as np
import pytest

from redstave.analysis.harp import FORMS, NATURALS, Moment, Move, late, moves, plan, playable


@pytest.mark.parametrize(
    ("size", "count"), [(3, 219), (4, 482), (5, 718), (6, 691), (7, 359), (8, 0)]
)
def test_counts_of_playable_sets(size: int, count: int) -> None:
    """Of all sets of so many pitch classes exactly so many can be played at once."""
    assert sum(playable(pitches) for pitches in combinations(range(12), size)) == count


def test_matching_agrees_with_all_settings() -> None:
    """A set is playable exactly when one of the 2187 settings holds it."""
    settings = [
        {(natural + form) % 12 for natural, form in zip(NATURALS, forms, strict=True)}
        for forms in product(FORMS, repeat=7)
    ]
    for pitches in combinations(range(12), 4):
        assert playable(pitches) == any(set(pitches) <= setting for setting in settings)


def test_verdicts_of_harpists() -> None:
    """G, G sharp, A cannot sound together; C, C sharp, D can."""
    assert not playable({7, 8, 9})
    assert playable({0, 1, 2})


def test_a_plan_has_what_each_moment_needs_and_moves_little() -> None:
    """C major, then F major, then C major: one pedal down and up again."""
    chords = [{0, 4, 7, 11}, {5, 9, 0, 10}, {0, 4, 7, 11}]
    moments = [Moment(float(at), frozenset(pitches)) for at, pitches in enumerate(chords)]
    settings = plan(moments)
    for moment, setting in zip(moments, settings, strict=True):
        sounding = {int(pitch) for pitch in (np.array(NATURALS) + setting - 1) % 12}
        assert moment.pitches <= sounding
    assert len(moves(moments, settings)) <= 2


def test_a_whole_plan_costs_at_least_what_its_pairs_cost() -> None:
    """Over random chords no two neighbours need more moves than the plan of all grants them."""
    random = np.random.default_rng(7)
    for _ in range(20):
        moments = [
            Moment(float(at), frozenset(random.choice(12, 3, replace=False).tolist()))
            for at in range(6)
        ]
        best = len(moves(moments, plan(moments)))
        greedy = sum(
            len(moves(moments[at : at + 2], plan(moments[at : at + 2]))) for at in range(5)
        )
        assert greedy <= best  # each pair by itself needs no more than its share of the whole


def test_two_feet_move_at_once_and_one_foot_after_the_other() -> None:
    """Two moves a second for each foot (E. Volpé Bligh): D and E at once, D and C one by one."""
    both = [Move("D", 0.0, 0.5), Move("E", 0.0, 0.5)]
    one = [Move("D", 0.0, 0.5), Move("C", 0.0, 0.5)]
    assert late(both, 0.5) == []
    assert len(late(one, 0.5)) == 1
