"""The fewest percussion players, against trying all ways of sharing the work."""

from itertools import combinations, pairwise

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from redstave.analysis import Analysis
from redstave.analysis.crew import Job, crew, follows, jobs
from redstave.reading import read_bytes

CHANGE_S = 1.5
PAGE = b"""title: Two staves
meter: 4/4
key: 0
tempo: 120 "Allegro"
pitch: sounding

part Percussion | clef=percussion
"Triangle" mf C5/4 C5 r "Bass drum" C5 | C5/2 "Triangle" C5/2 | R |

part Triangle and Tam-tam | clef=percussion
mf C5/1 | R | C5/4:tremolo3~ C5/2:tremolo3 r/4 |
"""


def job(start: float, length: float, what: str) -> Job:
    """Return a job without notes."""
    return Job(start, start + length, "P", what, ())


def fewest(done: list[Job]) -> int:
    """Return the fewest players by trying every way to hand out the jobs one after the other."""
    best = len(done)

    def share(at: int, players: list[Job]) -> None:
        nonlocal best
        if len(players) >= best:
            return
        if at == len(done):
            best = len(players)
            return
        for number, last in enumerate(players):
            need = 0.0 if last.what == done[at].what else CHANGE_S
            if done[at].start_s - last.stop_s >= need:
                share(at + 1, [*players[:number], done[at], *players[number + 1 :]])
        share(at + 1, [*players, done[at]])

    share(0, [])
    return best


TIMES = st.integers(0, 40).map(lambda tenths: tenths / 4.0)
JOBS = st.lists(
    st.builds(job, TIMES, st.sampled_from([0.0, 1.0]), st.sampled_from("abc")), max_size=7
)


@settings(deadline=None)
@given(JOBS)
def test_the_fewest_players_are_as_few_as_any_sharing_gives(found: list[Job]) -> None:
    """Chains are as many as the best sharing needs, each can be done, none is lost or doubled."""
    done = sorted(set(found))
    shared = crew(done, CHANGE_S)
    assert len(shared.chains) == (fewest(done) if done else 0)
    assert sorted(one for chain in shared.chains for one in chain) == done
    able = follows(done, CHANGE_S) if done else np.zeros((0, 0))
    for chain in shared.chains:
        places = [done.index(one) for one in chain]
        assert all(able[a, b] for a, b in pairwise(places))


@settings(deadline=None)
@given(JOBS)
def test_the_busiest_moment_proves_the_number(found: list[Job]) -> None:
    """As many jobs as there are players, of which no player could do two."""
    done = sorted(set(found))
    shared = crew(done, CHANGE_S)
    assert len(shared.at_once) == len(shared.chains)
    if done:
        able = follows(done, CHANGE_S)
        for one, other in combinations([done.index(j) for j in shared.at_once], 2):
            assert not able[one, other]
            assert not able[other, one]


def test_strokes_are_read_as_their_players_read_them() -> None:
    """Words name the instrument; a stave of two gives a note to both; a roll holds its player."""
    found = jobs(Analysis(read_bytes(PAGE, "page.tiny")).playing, CHANGE_S)
    told = [(round(one.start_s, 2), round(one.stop_s, 2), one.what) for one in found]
    assert told == [
        (0.0, 0.5, "triangle"),
        (0.0, 0.0, "tam-tam+triangle"),
        (1.5, 2.0, "bass-drum"),
        (3.0, 3.0, "triangle"),
        (4.0, 5.5, "tam-tam+triangle"),
    ]


@pytest.mark.parametrize(("gap", "players"), [(1.4, 2), (1.5, 1)])
def test_a_player_needs_the_time_to_change(gap: float, players: int) -> None:
    """Another instrument takes the time it takes; the same one takes none."""
    assert len(crew([job(0.0, 1.0, "a"), job(1.0 + gap, 0.0, "b")], CHANGE_S).chains) == players
    assert len(crew([job(0.0, 1.0, "a"), job(1.0, 0.0, "a")], CHANGE_S).chains) == 1
