"""The check `more-notes-than-players`."""

from collections.abc import Iterable, Iterator
from itertools import groupby
from operator import attrgetter

from redstave.analysis import Analysis
from redstave.analysis.page import Chord, chords, spot
from redstave.checks.registry import CannotJudge, Limits, check
from redstave.model.finding import Claim, Evidence, Finding
from redstave.model.score import Part

WINDS = frozenset({"woodwind", "brass"})


@check("more-notes-than-players", Claim.IMPOSSIBLE, sources=("common-practice",))
def more_notes_than_players(analysis: Analysis, _: Limits) -> Iterator[Finding]:
    """Find wind staves with more notes at once than players.

    What it reports
        More notes at one moment on a wind stave than its name gives players.

    Why it matters
        A wind player plays one note at a time. The note too many is not played, and which one is
        left out is decided by chance.

    How it is computed
        The notes struck or sounding together on the stave are counted and held against the players
        whom the name counts ("2 Oboi", "Horn 3. 4"). Names in the plural without a number are
        taken as two. A note that two voices share counts once.

    Limits
        Multiphonics and notes sung while playing look alike. On a stave of one player the second
        note may be meant for a neighbour who is not named: there it is asked about.

    Sources
        Common practice, no source.
    """
    lines = analysis.playing.lines
    if not any(line.family in WINDS for line in lines):
        raise CannotJudge("no part was recognised as a wind instrument")
    for part in analysis.score.parts:
        own = [line for line in lines if line.part == part.id]
        if not own or any(line.family not in WINDS for line in own):
            continue
        players = sum(line.players for line in own if not line.of)
        named = any(line.numbers for line in own) or players > 1
        crowded = [one for one in _moments(analysis, part) if _pitches(one) > players]
        if named and crowded:
            most = max(_pitches(one) for one in crowded)
            yield Finding(
                "more-notes-than-players",
                tuple(spot(part, one) for one in crowded),
                (Evidence("notes at once", most, "notes", players),),
                claim=Claim.IMPOSSIBLE if players > 1 else Claim.QUESTION,
            )


def _pitches(moment: Iterable[Chord]) -> int:
    """Count the notes of a moment; one that two voices share is one note, played by one or two."""
    return len({pitch for chord in moment for pitch in chord.pitches})


def _moments(analysis: Analysis, part: Part) -> Iterator[tuple[Chord, ...]]:
    """Yield for each attack the chords of all voices that sound at that moment."""
    sounding: tuple[Chord, ...] = ()
    for start, struck in groupby(chords(analysis.score, part), attrgetter("start")):
        sounding = tuple(one for one in (*sounding, *struck) if one.stop > start)
        yield sounding
