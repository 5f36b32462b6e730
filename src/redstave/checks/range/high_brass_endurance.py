"""The check `high-brass-endurance`."""

from collections.abc import Iterator, Sequence

from redstave.analysis import Analysis
from redstave.analysis.stretches import spot_of_tones
from redstave.checks.needs import by_tempo, tempo_used
from redstave.checks.registry import CannotJudge, Limits, Setting, check
from redstave.model.finding import Claim, Evidence, Finding
from redstave.model.line import Tone


@check(
    "high-brass-endurance",
    Claim.RISK,
    sources=("common-practice",),
    settings=(
        Setting("window", 120.0, "s", "over how long the load is looked at", "common-practice"),
        Setting(
            "most_share",
            0.7,
            "share of time",
            "a brass player who sounds for more of the window than this tires",
            "common-practice",
        ),
        Setting(
            "most_high_seconds",
            20.0,
            "s",
            "above the comfortable top without a rest of a second, nobody lasts longer",
            "common-practice",
        ),
    ),
)
def high_brass_endurance(analysis: Analysis, limits: Limits) -> Iterator[Finding]:
    """Find brass parts that leave the lips no rest.

    What it reports
        Brass players who sound for most of two minutes, or stay above the comfortable top for long.

    Why it matters
        Lips tire, and tired lips lose the top and the soft attack. The damage is heard in the
        passage that follows.

    How it is computed
        For each brass line of one player the seconds of its tones are added up over a sliding
        window, and unbroken stretches above the practical top are timed. Reported is the end of the
        worst stretch.

    Limits
        Lines of several players can take turns and are left out. An assistant first player is not
        known to the page. Tempo as written; assumed tempo makes the finding a question.

    Sources
        Common practice, no source.
    """
    lines = analysis.playing.lines
    brass = [at for at, line in enumerate(lines) if line.family == "brass" and line.players == 1]
    if not any(line.family == "brass" for line in lines):
        raise CannotJudge("no part was recognised as a brass instrument")
    for at in brass:
        yield from _tired(analysis, at, limits)


def _tired(analysis: Analysis, at: int, limits: Limits) -> Iterator[Finding]:
    """Yield where a player (index of his line) rests too little, and where he is high too long."""
    tones = [tone for tone in analysis.playing.tones if tone.line == at]
    worst, most = _fullest(tones, limits["window"]), limits["most_share"]
    if worst and _sounding(worst) > most * limits["window"]:
        share = round(_sounding(worst) / limits["window"], 2)
        told = Evidence("time sounding in two minutes", share, "share of time", most)
        yield _finding(analysis, worst, told)
    high, limit = _high_runs(analysis, at, tones), limits["most_high_seconds"]
    longest = max(high, key=_sounding, default=[])
    if longest and _sounding(longest) > limit:
        seconds = round(_sounding(longest), 1)
        told = Evidence("unbroken time above the top", seconds, "s", limit)
        yield _finding(analysis, longest, told)


def _fullest(tones: Sequence[Tone], window: float) -> list[Tone]:
    """Return the tones of the window in which a line sounds most."""
    best: list[Tone] = []
    first = 0
    for last, tone in enumerate(tones):
        while tone.stop_s - tones[first].start_s > window:
            first += 1
        inside = list(tones[first : last + 1])
        if _sounding(inside) > _sounding(best):
            best = inside
    return best


def _sounding(tones: Sequence[Tone]) -> float:
    return sum(tone.stop_s - tone.start_s for tone in tones)


def _high_runs(analysis: Analysis, line: int, tones: Sequence[Tone]) -> Iterator[list[Tone]]:
    id_ = analysis.playing.lines[line].instrument
    practical = analysis.book[id_].practical if id_ in analysis.book else None
    if practical is None:
        return
    run: list[Tone] = []
    for tone in tones:
        rests = bool(run) and tone.start_s - run[-1].stop_s > 1.0
        if run and (rests or tone.midi <= practical.high):
            yield run
            run = []
        if tone.midi > practical.high:
            run.append(tone)
    if run:
        yield run


def _finding(analysis: Analysis, tones: Sequence[Tone], evidence: Evidence) -> Finding:
    name = analysis.playing.lines[tones[0].line].name
    return Finding(
        "high-brass-endurance",
        (spot_of_tones(analysis.score, analysis.playing, tones[-1:]),),
        (evidence, *tempo_used(analysis)),
        (("instrument", name),),
        by_tempo(analysis, Claim.RISK),
    )
