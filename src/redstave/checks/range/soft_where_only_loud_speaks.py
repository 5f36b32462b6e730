"""The check `soft-where-only-loud-speaks`."""

from collections.abc import Iterator, Sequence

from redstave.analysis import Analysis
from redstave.analysis.page import note_names
from redstave.analysis.registers import doubtful
from redstave.analysis.stretches import Stretch, by_line, spot_of_tones, stretches
from redstave.checks.registry import Limits, Setting, check
from redstave.model.finding import Claim, Evidence, Finding
from redstave.model.line import level_name


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
        level = max(safe[id(tone)] for stretch in same for tone in stretch.tones)
        yield _finding(analysis, same, level)


def _finding(analysis: Analysis, same: Sequence[Stretch], safe: float) -> Finding:
    score, playing = analysis.score, analysis.playing
    tones = [tone for stretch in same for tone in stretch.tones]
    softest = min(tone.level for tone in tones)
    return Finding(
        "soft-where-only-loud-speaks",
        tuple(spot_of_tones(score, playing, stretch.tones) for stretch in same),
        (
            Evidence("level marked", level_name(softest), "", level_name(safe)),
            Evidence(
                "time in the register", round(sum(stretch.seconds for stretch in same), 1), "s"
            ),
        ),
        (
            ("instrument", playing.lines[same[0].line].name),
            ("notes", note_names(score.notes_by_id[tone.notes[0]] for tone in tones)),
            ("level", level_name(softest)),
            ("safe", level_name(safe)),
        ),
    )
