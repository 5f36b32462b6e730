"""The check `melody-thread-broken`."""

from collections.abc import Iterator

from redstave.analysis import Analysis
from redstave.checks.needs import with_original
from redstave.checks.registry import CannotJudge, Limits, Setting, check
from redstave.model.finding import Claim, Evidence, Finding
from redstave.model.role import Role
from redstave.original.beside import Beside
from redstave.original.places import voice_spot
from redstave.original.threads import Gap, gaps, thread


@check(
    "melody-thread-broken",
    Claim.RISK,
    sources=("common-practice",),
    settings=(
        Setting(
            "least_tones",
            2.0,
            "tones",
            "so many tones of the tune, one after another, must be missing",
            "common-practice",
        ),
        Setting(
            "least_quarters",
            1.0,
            "quarter notes",
            "and they must last so long together",
            "common-practice",
        ),
    ),
)
def melody_thread_broken(analysis: Analysis, limits: Limits) -> Iterator[Finding]:
    """Report places where the tune of the piano piece stops and goes on later.

    What it reports
        Several tones of the tune, one after another, that nobody plays in any octave, with the tune
        going on after them.

    Why it matters
        The tune is the thread a listener holds. When it passes from one player to another, the
        notes between the two are easily given to neither.

    How it is computed
        The tune of the original is followed tone by tone through the bars of the score; a gap is a
        run of tones that no line sounds.

    Limits
        What is the tune is worked out from the piano piece alone. A rest put into the tune on
        purpose is reported too.

    Sources
        Common practice, no source; the limits are ours.
    """
    both = with_original(analysis)
    strands = thread(analysis, Role.TUNE)
    if not strands:
        raise CannotJudge("no voice of the original could be taken as the tune")
    found = [
        gap
        for gap in gaps(analysis, strands)
        if len(gap.strands) >= limits["least_tones"] and gap.quarters >= limits["least_quarters"]
    ]
    if found:
        yield _finding(both, found, limits)


def _finding(both: Beside, found: list[Gap], limits: Limits) -> Finding:
    longest = max(found, key=lambda gap: gap.quarters)
    return Finding(
        "melody-thread-broken",
        tuple(
            dict.fromkeys(
                voice_spot(both, gap.strands[0].bar, gap.strands[-1].bar, (Role.TUNE,))
                for gap in found
            )
        ),
        (
            Evidence("places where the tune is silent", len(found), "places"),
            Evidence(
                "longest of them",
                round(longest.quarters, 2),
                "quarter notes",
                limits["least_quarters"],
            ),
            Evidence("tones missing there", len(longest.strands), "tones", limits["least_tones"]),
        ),
    )
