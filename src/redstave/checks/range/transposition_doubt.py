"""The check `transposition-doubt`."""

from collections.abc import Iterator

from redstave.analysis import Analysis
from redstave.analysis.harmony_fit import Fit, fits
from redstave.checks.registry import CannotJudge, Limits, Setting, check
from redstave.model.finding import Claim, Evidence, Finding, Spot

LEAST_KINDS = 3  # of two that contradict each other nobody knows which is wrong
KEYS = ("C", "D♭", "D", "E♭", "E", "F", "F♯", "G", "A♭", "A", "B♭", "B")


@check(
    "transposition-doubt",
    Claim.RISK,
    sources=("common-practice",),
    settings=(
        Setting(
            "least_gain",
            0.25,
            "share",
            "so much more of the time must it agree when it is transposed",
            "common-practice",
        ),
        Setting(
            "least_notes", 24.0, "notes", "a part with fewer notes is left alone", "common-practice"
        ),
        Setting(
            "least_quarters",
            24.0,
            "quarter notes",
            "a part that sounds with others for less is left alone",
            "common-practice",
        ),
    ),
)
def transposition_doubt(analysis: Analysis, limits: Limits) -> Iterator[Finding]:
    """Find parts that agree with the others only if they are transposed.

    What it reports
        A part whose notes fit the harmony of the other instruments badly as they sound, and well
        when all of them are moved by one interval.

    Why it matters
        A clarinet written as if it stood in C, a horn in F read as one in E flat: every note is
        wrong by the same interval. The score looks tidy, a mock-up may even sound right, and the
        first chord of the rehearsal does not.

    How it is computed
        Whatever instruments of another kind sound at a moment is its harmony, where they have two
        different notes or more. The part is moved by 0 to 11 semitones; for each it is summed up
        for how much of the time its notes are among those of the others, less the time in which
        they lie a semitone beside one of them and agree with none. The part is reported when
        another interval than none does better by least_gain. The worst instrument is then left out
        and the others are compared anew, until none is left that was not left out. Where the page
        changes the transposition of a stave, each stretch is judged by itself.

    Limits
        Octaves are not told apart: that is the work of the checks of compass. Music in two keys at
        once would be reported. If most parts are wrong alike, the few that are right are reported.

    Sources
        Common practice, no source. On 419 parts of masters' scores no other interval did better by
        more than 0.1; with the transposition left out, 95 in 100 do better by more than 0.25.
    """
    kinds = {line.instrument for line in analysis.playing.lines if line.family != "percussion"}
    if len(kinds) < LEAST_KINDS:
        raise CannotJudge("there are not three kinds of instrument to compare")
    for fit in _doubtful(analysis, limits):
        yield _finding(analysis, fit, limits)


def _doubtful(analysis: Analysis, limits: Limits) -> list[Fit]:
    """Return the parts in doubt, when none of them is a witness any more."""
    doubtful: frozenset[str] = frozenset()
    while True:
        found = [fit for fit in fits(analysis, doubtful) if _is_doubtful(fit, limits)]
        fresh = [fit for fit in found if _instrument(analysis, fit) not in doubtful]
        if not fresh:
            return found
        doubtful |= {_instrument(analysis, max(fresh, key=lambda fit: fit.gain))}


def _instrument(analysis: Analysis, fit: Fit) -> str:
    return next(line.instrument for line in analysis.playing.lines if line.part == fit.part.id)


def _is_doubtful(fit: Fit, limits: Limits) -> bool:
    return (
        fit.gain >= limits["least_gain"]
        and fit.notes >= limits["least_notes"]
        and fit.quarters >= limits["least_quarters"]
    )


def _finding(analysis: Analysis, fit: Fit, limits: Limits) -> Finding:
    score = analysis.score
    first = score.notes_by_id[fit.first[0]]
    up = (fit.best + 5) % 12 - 5  # -5 to 6: the nearer way
    semitones = f"{abs(up)} semitone{'' if abs(up) == 1 else 's'} {'higher' if up > 0 else 'lower'}"
    return Finding(
        "transposition-doubt",
        (Spot(first.bar, first.offset, fit.part.id, first.stave, fit.last_bar, fit.first),),
        (
            Evidence("agrees with the others", round(float(fit.agrees[0]), 2), "share of the time"),
            Evidence(
                "agrees if transposed", round(float(fit.agrees[fit.best]), 2), "share of the time"
            ),
            Evidence("gain in fit", round(fit.gain, 2), "share", limits["least_gain"]),
            Evidence("notes compared", fit.notes, "notes"),
        ),
        (
            ("declared", KEYS[fit.declared % 12]),
            ("fitting", KEYS[(fit.declared + fit.best) % 12]),
            ("interval", semitones),
        ),
    )
