"""The check `instrument-swap-time`."""

from collections.abc import Iterator
from itertools import pairwise

from redstave.analysis import Analysis
from redstave.analysis.stretches import spot_of_tones
from redstave.analysis.tables import row
from redstave.analysis.winded import WindLine
from redstave.checks.needs import by_tempo, tempo_used, winded
from redstave.checks.registry import Limits, check
from redstave.model.finding import Claim, Evidence, Finding
from redstave.model.line import Tone

FAMILY = {
    "piccolo": "flute", "flute": "flute", "alto-flute": "flute", "bass-flute": "flute",
    "oboe": "oboe", "cor-anglais": "oboe", "clarinet": "clarinet", "e-flat-clarinet": "clarinet",
    "bass-clarinet": "clarinet", "bassoon": "bassoon", "contrabassoon": "bassoon",
}  # fmt: skip


@check("instrument-swap-time", Claim.RISK, sources=("rk", "common-practice"))
def instrument_swap_time(analysis: Analysis, _: Limits) -> Iterator[Finding]:
    """Find changes of instrument that leave no time for them.

    What it reports
        A player who goes from one instrument to its sister (flute to piccolo, oboe to cor anglais)
        with less rest than the change takes.

    Why it matters
        The instrument must be laid down, the other taken up, its reed wetted, its pitch found. A
        player who cannot make it plays the wrong instrument or comes in late.

    How it is computed
        Where a stave holds lines of sister instruments, the rest between the last tone of the one
        and the first tone of the other is counted in seconds and held against the least time in the
        table.

    Limits
        Staves whose players are not numbered may have another player free for the second
        instrument. Where the tempo is assumed the finding is a question.

    Sources
        rk: changes belong to second and third players. The seconds are common practice.
    """
    winds = winded(analysis)
    for part in analysis.score.parts:
        sisters = [wind for wind in winds if wind.part.id == part.id]
        if len({wind.line.instrument for wind in sisters}) < 2:
            continue
        if len({wind.line.players for wind in sisters}) > 1 or sisters[0].line.players > 1:
            continue
        yield from _changes(analysis, sisters)


def _changes(analysis: Analysis, sisters: list[WindLine]) -> Iterator[Finding]:
    tones = sorted(
        ((tone, wind) for wind in sisters for tone in wind.tones), key=lambda one: one[0].start
    )
    for (before, first), (here, second) in pairwise(tones):
        names = first.line.instrument, second.line.instrument
        family = FAMILY.get(names[0])
        if names[0] == names[1] or family is None or FAMILY.get(names[1]) != family:
            continue
        comfortable, least = row("winds", "swap")[family].numbers
        rest = here.start_s - before.stop_s
        if rest < least:
            yield _finding(analysis, here, names, rest, comfortable)


def _finding(
    analysis: Analysis, tone: Tone, names: tuple[str, str], rest: float, comfortable: float
) -> Finding:
    return Finding(
        "instrument-swap-time",
        (spot_of_tones(analysis.score, analysis.playing, [tone]),),
        (Evidence("rest for the change", round(rest, 1), "s", comfortable), *tempo_used(analysis)),
        tuple(
            (key, analysis.book[name].name.lower())
            for key, name in zip(("first", "second"), names, strict=True)
        ),
        by_tempo(analysis, Claim.RISK),
    )
