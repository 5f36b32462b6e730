"""Law 1: a trial's numbers equal a full recomputation of the changed score."""

from dataclasses import fields, replace

import numpy as np
import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from redstave.analysis import Analysis
from redstave.analysis.again import taken_over
from redstave.analysis.hearing import Judged
from redstave.base.errors import InputError
from redstave.instruments import hall
from redstave.model.change import (
    Change,
    LeftOut,
    Level,
    Octave,
    Players,
    Step,
    TakenOver,
    Technique,
)
from redstave.trial import attempt, select_lines
from tests.trial.pages import COVERED_FLUTE, MARKS, page

PAGES = [page(MARKS), page(COVERED_FLUTE)]
HORNS = select_lines(PAGES[1].playing, "Horns")
alterations = st.one_of(
    st.builds(Level, st.sampled_from([1.0, 2.0, 4.5, 7.0])),
    st.builds(Step, st.sampled_from([-3.0, -1.0, 1.0, 2.5])),
    st.builds(Players, st.sampled_from([1.0, 3.0, 12.0])),
    st.just(LeftOut()),
    st.builds(Octave, st.sampled_from([-1, 1])),
    st.builds(Technique, st.sampled_from(["", "mute", "pizz", "tremolo"])),
    st.builds(
        TakenOver,
        st.sampled_from(["bassoon", "cello"]),
        st.just("Deputy"),
        st.sampled_from(["woodwind", "strings"]),
        players=st.integers(1, 4),
        octaves=st.integers(-1, 1),
    ),
)


@st.composite
def changes(draw: st.DrawFn, analysis: Analysis) -> Change:
    """Draw any change of any lines in any bars of a page."""
    ids = [line.id for line in analysis.playing.lines]
    who = draw(st.lists(st.sampled_from(ids), min_size=1, max_size=4, unique=True))
    first, last = sorted(draw(st.tuples(st.integers(0, 3), st.integers(0, 3))))
    return Change(tuple(who), first, last, draw(alterations))


def equal(one: Analysis, other: Analysis) -> None:
    """Assert that two analyses hear the same, number by number."""
    np.testing.assert_array_equal(one.slices.start, other.slices.start)
    np.testing.assert_array_equal(one.slices.row_tone, other.slices.row_tone)
    np.testing.assert_array_equal(one.hearing.line, other.hearing.line)
    np.testing.assert_array_equal(one.hearing.strand, other.hearing.strand)
    np.testing.assert_array_equal(one.sound.gain_db, other.sound.gain_db)
    for field in fields(Judged):
        mine, theirs = (getattr(each.hearing.rows, field.name) for each in (one, other))
        np.testing.assert_allclose(mine, theirs, rtol=1e-6, atol=1e-6, err_msg=field.name)


@pytest.mark.parametrize("number", range(len(PAGES)), ids=["marks", "covered flute"])
@given(data=st.data())
@settings(max_examples=60, deadline=None)
def test_a_trial_equals_a_full_recomputation(number: int, data: st.DataObject) -> None:
    """Two changes, one trial on top of the other, hear as the changed score heard from nothing."""
    analysis = PAGES[number]
    for _ in range(2):
        change = data.draw(changes(analysis))
        try:
            analysis = attempt(analysis, [change]).after
        except InputError:
            assume(False)
        equal(analysis, replace(analysis, earlier=None))


def test_the_law_holds_where_the_hall_rings_on() -> None:
    """With the tail of the hall a change reaches beyond its bars, and is still heard in full."""
    ringing = replace(PAGES[1], hall=hall("default", tail=True))
    trial = attempt(ringing, [Change(("P2.1",), 0, 0, Step(2.0))])
    equal(trial.after, replace(trial.after, earlier=None))
    later = trial.after.slices.bar[trial.after.slices.row_slice] == 1
    before, after = ringing.hearing.rows.margin_db, trial.after.hearing.rows.margin_db
    assert not np.array_equal(before[later], after[later])


def test_only_touched_slices_are_heard_again() -> None:
    """A change in one bar leaves every slice of the other bars as it was."""
    before = PAGES[1]
    after = attempt(before, [Change(("P2.1", "P2.2", "P3.3", "P3.4"), 1, 1, Step(-1.0))]).after
    source = taken_over(before.hearing, after.slices, after.sound, after.strand, after.hearing.line)
    assert set(after.slices.bar[source < 0]) == {1}
    np.testing.assert_array_equal(source[source >= 0], np.flatnonzero(source >= 0))


def test_it_is_the_content_that_counts() -> None:
    """A change that is taken back leaves nothing to hear again."""
    before = PAGES[0]
    there = attempt(before, [Change(("P4.1",), 0, 1, Step(1.0))]).after
    back = attempt(there, [Change(("P4.1",), 0, 1, Step(-1.0))]).after
    source = taken_over(before.hearing, back.slices, back.sound, back.strand, back.hearing.line)
    assert (source >= 0).all()
    equal(back, replace(before, told=back.playing))


def test_who_plays_counts_though_it_sounds_the_same() -> None:
    """Cellos in the place of the cellos sound alike, and what covers is put to the new line."""
    deputy = TakenOver("cello", "Cello", "strings", 8, True)
    after = attempt(PAGES[1], [Change(("P4",), 0, 3, deputy)]).after
    equal(after, replace(after, earlier=None))
    flute = after.hearing.line == 0
    assert after.hearing.rows.covering[flute, -1].all()
