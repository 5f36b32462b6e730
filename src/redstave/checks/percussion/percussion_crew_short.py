"""The check `percussion-crew-short`."""

from collections import Counter, defaultdict
from collections.abc import Iterator, Sequence
from itertools import pairwise

from redstave.analysis import Analysis
from redstave.analysis.crew import Crew, Job, crew, jobs
from redstave.analysis.page import in_words
from redstave.analysis.stretches import spot_of_tones
from redstave.analysis.tables import cited
from redstave.checks.needs import by_tempo, tempo_used
from redstave.checks.registry import CannotJudge, Limits, Setting, check
from redstave.model.finding import Claim, Evidence, Finding

STICKS, WALK = (cited("percussion", "change", key).number for key in ("sticks", "walk"))
PLAYERS = cited("percussion", "crew", "players").number


@check(
    "percussion-crew-short",
    Claim.RISK,
    sources=("common-practice",),
    settings=(
        Setting(
            "sticks_seconds",
            STICKS,
            "s",
            "from one instrument to the next on one player's stave, at the least",
            "common-practice",
        ),
        Setting(
            "walk_seconds",
            WALK,
            "s",
            "from one instrument to another that may stand elsewhere on the stage",
            "common-practice",
        ),
        Setting(
            "players",
            PLAYERS,
            "players",
            "percussion players there are, beside the timpanist",
            "common-practice",
        ),
    ),
)
def percussion_crew_short(analysis: Analysis, limits: Limits) -> Iterator[Finding]:
    """Find percussion that has more to do at once than players to do it.

    What it reports
        A stave for one player on which he must change the instrument faster than hands can; and,
        as a question, a score that cannot be played by the percussion players there are, however
        they share the work.

    Why it matters
        Percussion is written by instrument and played by people. Each of them has two hands, the
        sticks must be changed and the next instrument stands two metres away. What cannot be
        covered is left out, or an extra player is hired for four bars.

    How it is computed
        The strokes at one instrument are a job; a roll keeps its player to its end, a stroke at the
        attack alone. One player can take a second job when the time between is enough to change.
        The fewest players that cover all jobs are found exactly, as the fewest chains of jobs that
        can follow each other, together with a largest set of jobs of which none can follow another:
        these are the places shown.

    Limits
        The timpanist is not counted and never helps. Two instruments that share a stave (bass drum
        with cymbals) count as one player's. One who plays two small instruments with two hands at
        once is counted as two. Where no word and no name tells which instrument is meant, its notes
        are not counted.

    Sources
        The seconds and the size of the crew are common practice, no source. That the fewest chains
        equal the largest set of jobs in each other's way: Dilworth 1950.
    """
    staves = _by_part(jobs(analysis.playing, limits["sticks_seconds"]))
    if not staves:
        raise CannotJudge("no part was recognised as percussion")
    yield from _hurried(analysis, staves, limits)
    needed = crew(jobs(analysis.playing, limits["walk_seconds"]), limits["walk_seconds"])
    if len(needed.chains) > limits["players"]:
        yield _too_few(analysis, needed, limits)


def _by_part(done: Sequence[Job]) -> dict[str, list[Job]]:
    found: dict[str, list[Job]] = defaultdict(list)
    for job in done:
        found[job.part].append(job)
    return found


def _hurried(analysis: Analysis, staves: dict[str, list[Job]], limits: Limits) -> Iterator[Finding]:
    """Yield for each stave of one player the changes that come too soon."""
    players = Counter[str]()
    for line in analysis.playing.lines:
        players[line.part] += 0 if line.of else line.players
    for part, done in staves.items():
        late = [
            (one, other)
            for one, other in pairwise(done)
            if one.what != other.what and other.start_s - one.stop_s < limits["sticks_seconds"]
        ]
        if late and players[part] == 1:
            shortest = min(other.start_s - one.stop_s for one, other in late)
            one, other = late[0]
            yield Finding(
                "percussion-crew-short",
                tuple(
                    spot_of_tones(analysis.score, analysis.playing, j.tones[:1]) for _, j in late
                ),
                (
                    Evidence("time to change", round(shortest, 1), "s", limits["sticks_seconds"]),
                    Evidence("changes too soon", len(late), "changes"),
                    *tempo_used(analysis),
                ),
                (
                    (
                        "need",
                        f"one player to go from {_name(analysis, one)} to "
                        f"{_name(analysis, other)} too soon",
                    ),
                    ("crew", "Is there a second player"),
                ),
                by_tempo(analysis, Claim.RISK),
            )


def _too_few(analysis: Analysis, needed: Crew, limits: Limits) -> Finding:
    """Return the question how the work is to be shared, at the places that need everyone."""
    count, there = len(needed.chains), round(limits["players"])
    names = in_words(list(dict.fromkeys(_name(analysis, job) for job in needed.at_once)))
    return Finding(
        "percussion-crew-short",
        tuple(
            spot_of_tones(analysis.score, analysis.playing, job.tones[:1]) for job in needed.at_once
        ),
        (
            Evidence("players needed", count, "players", there),
            Evidence("time allowed for a change", limits["walk_seconds"], "s"),
            *tempo_used(analysis),
        ),
        (
            ("need", f"{count} percussion players for {names} at almost the same time"),
            ("crew", f"Are there {count} players"),
        ),
        Claim.QUESTION,
    )


def _name(analysis: Analysis, job: Job) -> str:
    """Return the instruments of a job in words: "bass drum and cymbals"."""
    names = [
        analysis.book[one].name.lower() if one in analysis.book else "an instrument not named"
        for one in job.what.split("+")
    ]
    return in_words(names)
