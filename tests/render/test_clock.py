"""When a place is heard: as the tempo map says, stretched between the bars of a recording."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from redstave.render.clock import Clock, Heard
from tests.render.letters import analysis

SCORE, TEMPO = analysis().score, analysis().playing.tempo
BAR_S = 3 * 60 / 96  # three quarters at 96 a minute


def start(bar: int) -> int:
    """Return where a bar begins, in ticks."""
    return SCORE.bars[bar].start


def test_without_a_recording_the_tempo_map_tells() -> None:
    """Bar 3 begins after two bars of three quarters at 96 a minute."""
    clock = Clock(SCORE, TEMPO)
    assert clock.second(start(2)) == pytest.approx(2 * BAR_S)
    assert clock.end == pytest.approx(6 * BAR_S)


def test_a_recording_is_hit_where_it_was_laid() -> None:
    """Known bars are at their seconds, the middle between them in the middle of their times."""
    clock = Clock(SCORE, TEMPO, (Heard(1, 10.0), Heard(3, 30.0)))
    assert clock.second(start(1)) == 10.0
    assert clock.second(start(3)) == pytest.approx(30.0)
    assert clock.second(start(2)) == pytest.approx(20.0)
    assert clock.second(start(4)) == pytest.approx(30.0 + BAR_S)  # as fast as the tempo map
    assert clock.second(start(0)) == pytest.approx(10.0 - BAR_S)


def test_nothing_is_heard_before_the_recording_begins() -> None:
    """Bars before the first known one do not fall below 0."""
    assert Clock(SCORE, TEMPO, (Heard(3, 1.0),)).second(0) == 0.0


@given(st.lists(st.integers(0, 5), unique=True), st.lists(st.floats(0.01, 99), min_size=6))
def test_time_never_runs_backwards(bars: list[int], steps: list[float]) -> None:
    """Whatever rising bars and seconds are given, later places are heard no earlier."""
    seconds, pairs = 0.0, []
    for bar, step in zip(sorted(bars), steps, strict=False):
        seconds += step
        pairs.append(Heard(bar, seconds))
    clock = Clock(SCORE, TEMPO, pairs)
    heard = [clock.second(tick) for tick in range(0, SCORE.bars[-1].start, 3)]
    assert heard == sorted(heard)
