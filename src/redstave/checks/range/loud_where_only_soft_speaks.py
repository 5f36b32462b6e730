"""The check `loud-where-only-soft-speaks`."""

from collections.abc import Iterator

from redstave.analysis import Analysis
from redstave.analysis.registers import Doubtful, doubtful, told
from redstave.analysis.stretches import by_line, stretches
from redstave.checks.registry import Limits, Setting, check
from redstave.model.finding import Claim, Finding


@check(
    "loud-where-only-soft-speaks",
    Claim.RISK,
    sources=("handbooks",),
    settings=(
        Setting(
            "least_seconds",
            1.5,
            "s",
            "notes that touch the register for less than this in all are left alone",
            "common-practice",
        ),
        Setting(
            "least_others",
            3.0,
            "lines",
            "with fewer lines of other instruments sounding, the weak register can still be heard",
            "common-practice",
        ),
    ),
)
def loud_where_only_soft_speaks(analysis: Analysis, limits: Limits) -> Iterator[Finding]:
    """Find loud marks in registers that have no strength.

    What it reports
        Woodwind and brass notes marked louder than their register can sound while other
        instruments play: low flutes, throat notes of the clarinet, high oboes and bassoons.

    Why it matters
        The mark asks for what the instrument does not have. The player forces, the tone spreads,
        and in company it is still not heard.

    How it is computed
        The written pitch of each note is held against the zones in the data, and the level in force
        against the loudest one that makes sense there. Other instruments must be sounding, and the
        line must not be doubled by one: then the partner carries it. Passages of least_seconds.

    Limits
        What is heard in the end is judged by tune-covered; this looks at what is asked of a player.

    Sources
        handbooks: registers from memory, no measured limits.
    """
    gap = analysis.score.ticks_per_quarter
    index = {id(tone): at for at, tone in enumerate(analysis.playing.tones)}
    found = [
        one
        for one in doubtful("loud", analysis.score, analysis.playing, analysis.book)
        if not analysis.shared.get(index[id(one.tone)])
        and _others(analysis, one) >= limits["least_others"]
    ]
    strong = {id(one.tone): one.zone.level for one in found}
    passages = stretches([one.tone for one in found], gap)
    for same in by_line(passages, limits["least_seconds"]):
        tones = [tone for stretch in same for tone in stretch.tones]
        marked = max(tone.level for tone in tones)
        zone = min(strong[id(tone)] for tone in tones)
        spots, evidence, facts = told(analysis.score, analysis.playing, same, marked, zone)
        yield Finding("loud-where-only-soft-speaks", spots, evidence, facts)


def _others(analysis: Analysis, one: Doubtful) -> int:
    """Return how many lines of other instruments sound when the tone begins."""
    lines = analysis.playing.lines
    mine = lines[one.tone.line].instrument
    sounding = [at for at in analysis.sounding_at(one.tone.start) if lines[at].instrument != mine]
    return len(sounding)
