"""The check `repeated-tonguing-too-fast`."""

from collections.abc import Iterator

from redstave.analysis import Analysis
from redstave.analysis.players_level import PlayersLevel
from redstave.analysis.rates import quick_runs, rate
from redstave.analysis.stretches import spot_of_tones
from redstave.analysis.tables import row
from redstave.analysis.winded import WindLine, bound_notes
from redstave.checks.needs import by_tempo, tempo_used, winded
from redstave.checks.registry import Limits, Setting, check
from redstave.model.finding import Claim, Evidence, Finding
from redstave.model.line import Tone

SCHOOL_SHARE = 0.75  # of the single tongue that school players reach (ours)


@check(
    "repeated-tonguing-too-fast",
    Claim.RISK,
    sources=("common-practice", "idrs", "klarinet", "tbchat", "ctuba"),
    settings=(
        Setting("least_notes", 6.0, "notes", "shorter runs are left alone", "common-practice"),
    ),
)
def repeated_tonguing_too_fast(analysis: Analysis, limits: Limits) -> Iterator[Finding]:
    """Find runs of tongued notes that are too fast for the tongue.

    What it reports
        Runs of separate wind notes faster than the instrument's double or triple tongue; on reeds,
        where that is not usual, faster than the single tongue.

    Why it matters
        Beyond the speed of the tongue notes do not come out separate: the player slurs in twos, or
        leaves every other note out.

    How it is computed
        The tones of one player that no slur binds are set in seconds by the tempo in use. A run is
        reported when every note follows the one before faster than the limit, its uncertainty
        added. School players have no double tongue.

    Limits
        Fingers can be slower than the tongue: scales are judged by the tongue only. Flutter and
        tremolo signs are left out. Where the tempo is assumed the finding is a question.

    Sources
        Speeds reported by players of the instruments; see the tables for each figure.
    """
    for wind in winded(analysis):
        limit = _limit(analysis, wind)
        if limit is None:
            continue
        tongued = _tongued(analysis, wind)
        quick = quick_runs([tone.start_s for tone in tongued], limit[0] + limit[1])
        runs = [tongued[run] for run in quick if run.stop - run.start >= limits["least_notes"]]
        if runs:
            yield _finding(analysis, wind, runs, limit[0])


def _finding(analysis: Analysis, wind: WindLine, runs: list[list[Tone]], limit: float) -> Finding:
    fastest = max(rate([tone.start_s for tone in run]) for run in runs)
    return Finding(
        "repeated-tonguing-too-fast",
        tuple(spot_of_tones(analysis.score, analysis.playing, run) for run in runs),
        (Evidence("tongued notes a second", round(fastest, 1), "", limit), *tempo_used(analysis)),
        (("instrument", wind.line.name),),
        by_tempo(analysis, Claim.RISK),
    )


def _limit(analysis: Analysis, wind: WindLine) -> tuple[float, float] | None:
    """Return the fastest tongue of an instrument in notes a second, and its uncertainty."""
    found = row("winds", "tongue").get(wind.line.instrument)
    if found is None:
        return None
    (single, multiple), doubts = found.numbers, found.uncertainties
    if analysis.players_level is PlayersLevel.SCHOOL:
        return single * SCHOOL_SHARE, doubts[0]
    return (multiple, doubts[1]) if multiple else (single, doubts[0])


def _tongued(analysis: Analysis, wind: WindLine) -> list[Tone]:
    bound = bound_notes(analysis.score, wind.part)
    before = ""
    found = []
    for tone in wind.tones:
        if before not in bound and tone.technique != "tremolo":
            found.append(tone)
        before = tone.notes[-1]
    return found
