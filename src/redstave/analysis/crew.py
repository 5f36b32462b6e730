"""How few percussion players a score needs: jobs in time, and who can go from one to the next.

A *job* is what one player does at one instrument without leaving it. A player can take another job
after it if the time between lets him change sticks and place; at the same instrument he needs none.
"Can follow" is transitive, so the fewest players are the fewest chains that cover all jobs. By
Dilworth's theorem (1950) that number equals the greatest number of jobs no two of which can follow
each other, and both come out of one maximum matching (Fulkerson 1956, König 1931): exact, no
estimate.
"""

from collections import defaultdict
from collections.abc import Iterator, Sequence
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray
from scipy.sparse import csr_matrix
from scipy.sparse.csgraph import maximum_bipartite_matching

from redstave.model.line import Playing, Tone

Flags = NDArray[np.bool_]
Ints = NDArray[np.int64]


class Job(NamedTuple):
    """Strokes at one instrument, from the first to the last, in seconds.

    `what` names it: its id, or several joined by "+" where they share a stave.
    """

    start_s: float
    stop_s: float
    part: str
    what: str
    tones: tuple[Tone, ...]


class Crew(NamedTuple):
    """The fewest players, what each does in turn, and the jobs that need them all at once."""

    chains: tuple[tuple[Job, ...], ...]
    at_once: tuple[Job, ...]


def jobs(playing: Playing, change_s: float) -> list[Job]:
    """Return the jobs of all percussion but the timpani, in order of time.

    A stroke needs its player at the attack alone, a roll to its end. Strokes at one instrument
    closer than `change_s` are one job: nobody could leave between them.
    """
    strokes = sorted(_strokes(playing))
    done: list[Job] = []
    last: dict[tuple[str, str], int] = {}
    for start, stop, part, what, tone in strokes:
        at = last.get((part, what))
        if at is not None and start - done[at].stop_s < change_s:
            job = done[at]
            done[at] = job._replace(stop_s=max(job.stop_s, stop), tones=(*job.tones, tone))
        else:
            last[part, what] = len(done)
            done.append(Job(start, stop, part, what, (tone,)))
    return done


def _strokes(playing: Playing) -> Iterator[tuple[float, float, str, str, Tone]]:
    """Yield each stroke once.

    Two instruments that share a stave stand together, as bass drum and cymbals do: they count as
    one, whoever of their players strikes.
    """
    lines = playing.lines
    shared: dict[str, set[str]] = defaultdict(set)
    for line in lines:
        if not line.of:
            shared[line.part].add(line.instrument)
    together: dict[tuple[str, ...], Tone] = {}
    for tone in playing.tones:
        line = lines[tone.line]
        if line.family == "percussion" and line.instrument != "timpani":
            together.setdefault(tone.notes, tone)
    for tone in together.values():
        line = lines[tone.line]
        what = line.instrument if line.of else "+".join(sorted(shared[line.part]))
        stop = tone.stop_s if tone.technique == "tremolo" else tone.start_s
        yield tone.start_s, stop, line.part, what, tone


def follows(done: Sequence[Job], change_s: float) -> Flags:
    """Return [jobs, jobs] whether one player can do the first, then the second."""
    start = np.array([job.start_s for job in done])
    stop = np.array([job.stop_s for job in done])
    names = list(dict.fromkeys((job.part, job.what) for job in done))
    place = np.array([names.index((job.part, job.what)) for job in done])
    need = np.where(place[:, None] == place[None, :], 0.0, change_s)
    able: Flags = start[None, :] - stop[:, None] >= need
    able &= (start[None, :] > start[:, None]) | (need == 0.0)
    np.fill_diagonal(able, False)
    return np.triu(able)


def crew(done: Sequence[Job], change_s: float) -> Crew:
    """Return the fewest players for some jobs in order of time, and where all are needed."""
    if not done:
        return Crew((), ())
    able = follows(done, change_s)
    after: Ints = np.asarray(
        maximum_bipartite_matching(csr_matrix(able), perm_type="column"), dtype=np.int64
    )
    chains: list[list[Job]] = []
    chain_of: dict[int, list[Job]] = {}
    for at, job in enumerate(done):
        chain = chain_of.pop(at, None)
        if chain is None:
            chain = []
            chains.append(chain)
        chain.append(job)
        if after[at] >= 0:
            chain_of[int(after[at])] = chain
    return Crew(tuple(map(tuple, chains)), tuple(done[at] for at in _at_once(able, after)))


def _at_once(able: Flags, after: Ints) -> list[int]:
    """Return a largest set of jobs of which none can follow another, by König's construction.

    From every job that nobody leaves, walk to those that can follow it and back along the matching;
    a job reached on its leaving side and not on its arriving side belongs to the set.
    """
    before = np.full(after.size, -1)
    before[after[after >= 0]] = np.flatnonzero(after >= 0)
    leaving, arriving = after < 0, np.zeros(after.size, dtype=np.bool_)
    waiting = np.flatnonzero(leaving).tolist()
    while waiting:
        for to in np.flatnonzero(able[waiting.pop()] & ~arriving).tolist():
            arriving[to] = True
            back = int(before[to])
            if back >= 0 and not leaving[back]:
                leaving[back] = True
                waiting.append(back)
    return np.flatnonzero(leaving & ~arriving).tolist()
