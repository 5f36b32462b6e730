"""The check `soft-where-only-loud-speaks`."""

from collections.abc import Iterator

from redstave.analysis import Analysis
from redstave.analysis.registers import doubtful, told
from redstave.analysis.stretches import by_line, stretches
from redstave.checks.registry import Limits, Setting, check
from redstave.model.finding import Claim, Finding


@check(
    "soft-where-only-loud-speaks",
    Claim.QUESTION,
    sources=("handbooks",),
    settings=(
        Setting(
            "least_seconds",
            0.8,
            "s",
            "notes that touch the register for less than this in all are left alone",
            "common-practice",
        ),
    ),
)
def soft_where_only_loud_speaks(analysis: Analysis, limits: Limits) -> Iterator[Finding]:
    """Find soft marks in registers that speak only when they are played out.

    What it reports
        Woodwind and brass notes marked softer than their register can reasonably be played: the
        top of flutes, clarinets and brass, the bottom of double reeds and horns.

    Why it matters
        The player either lets the note speak, and it sticks out, or plays it as softly as marked,
        and it may not come at all.

    How it is computed
        The written pitch of each note is held against the zones in the data, and the level in force
        against the softest one that is safe there. The level must be firmly below it, and the notes
        of a passage must last least_seconds together.

    Limits
        Professional players can do more than the zones say. Muted, stopped and harmonic notes, and
        notes whose level had to be assumed, are not judged.

    Sources
        handbooks: registers from memory, no measured limits.
    """
    gap = analysis.score.ticks_per_quarter
    found = doubtful("soft", analysis.score, analysis.playing, analysis.book)
    safe = {id(one.tone): one.zone.level for one in found}
    passages = stretches([one.tone for one in found], gap)
    for same in by_line(passages, limits["least_seconds"]):
        tones = [tone for stretch in same for tone in stretch.tones]
        marked = min(tone.level for tone in tones)
        zone = max(safe[id(tone)] for tone in tones)
        spots, evidence, facts = told(analysis.score, analysis.playing, same, marked, zone)
        yield Finding("soft-where-only-loud-speaks", spots, evidence, facts)
