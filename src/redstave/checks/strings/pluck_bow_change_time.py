"""The check `pluck-bow-change-time`."""

from collections.abc import Iterator
from itertools import pairwise
from typing import NamedTuple

from redstave.analysis import Analysis
from redstave.analysis.bowed import Bowed
from redstave.analysis.division import Says, sayings
from redstave.analysis.page import Chord, spot
from redstave.analysis.tables import cited
from redstave.checks.needs import bowed, by_tempo, tempo_used
from redstave.checks.registry import Limits, Setting, check
from redstave.model.finding import Claim, Evidence, Finding, Spot


class Change(NamedTuple):
    """A change between bow and finger, and the seconds there are for it."""

    to_plucked: bool
    seconds: float
    spot: Spot


@check(
    "pluck-bow-change-time",
    Claim.RISK,
    sources=("common-practice",),
    settings=(
        Setting(
            "share_given_up",
            0.5,
            "share",
            "so much of its last bowed note a player gives up to get the finger to the string",
            "common-practice",
        ),
    ),
)
def pluck_bow_change_time(analysis: Analysis, limits: Limits) -> Iterator[Finding]:
    """Find changes between bow and finger for which there is no time.

    What it reports
        Places at which a stave goes from bowed to plucked notes, or back, so quickly that the hand
        cannot get there.

    Why it matters
        To pluck, the bow hand turns and puts a finger to the string; to bow, it takes the bow back
        into the grip, which lasts longer. Without time for it the first note of the new kind is
        late, or played the old way.

    How it is computed
        From bow to finger the time is the rest between the notes, or half of the last bowed note
        where that is longer, since players shorten it. From finger to bow it runs from one attack
        to the next: a plucked note leaves the hand free at once. Both are held against the least
        time for the change, less its uncertainty.

    Limits
        After an up-bow the finger is at the string already: such places are left out, and so are
        staves that divide, where one half may go on, and notes plucked with the left hand. Where
        the page gives no number for every tempo, the finding is a question.

    Sources
        Seconds for both changes: common practice, no source.
    """
    parts = bowed(analysis)
    found = [change for part in parts for change in _changes(analysis, part, limits)]
    for to_plucked in (True, False):
        least = cited("strings", "change", "to-plucked" if to_plucked else "to-bowed")
        hurried = [
            one
            for one in found
            if one.to_plucked is to_plucked and one.seconds < least.number - least.uncertainties[0]
        ]
        if hurried:
            yield _finding(analysis, hurried, least.number)


def _finding(analysis: Analysis, hurried: list[Change], least: float) -> Finding:
    shortest = min(change.seconds for change in hurried)
    way = "from bow to finger" if hurried[0].to_plucked else "from finger to bow"
    return Finding(
        "pluck-bow-change-time",
        tuple(change.spot for change in hurried),
        (
            Evidence("shortest time for the change", round(shortest, 2), "s", least),
            Evidence("changes", len(hurried), "changes"),
            *tempo_used(analysis),
        ),
        (("way", way),),
        by_tempo(analysis, Claim.RISK),
    )


def _changes(analysis: Analysis, part: Bowed, limits: Limits) -> Iterator[Change]:
    said = sayings(analysis.score, part.part)
    tempo = analysis.playing.tempo
    for chords in part.voices.values():
        played = [chord for chord in chords if chord.head.id in analysis.tone_of]
        for before, after in pairwise(played):
            was, now = (_is_plucked(analysis, part, one) for one in (before, after))
            if was is None or now is None or was == now or said.at(after.start) is Says.DIVIDED:
                continue
            between = tempo.seconds(after.start) - tempo.seconds(before.start)
            rest = tempo.seconds(after.start) - tempo.seconds_before(before.stop)
            if was:
                yield Change(False, between, spot(part.part, (before, after)))
            elif not part.signed(before, "up-bow"):
                time = max(rest, between * limits["share_given_up"])
                yield Change(True, time, spot(part.part, (before, after)))


def _is_plucked(analysis: Analysis, part: Bowed, chord: Chord) -> bool | None:
    """Tell whether a chord is plucked; None for col legno, and for the left hand (a cross)."""
    technique = analysis.tone_of[chord.head.id].technique
    if technique == "col-legno" or part.signed(chord, "stopped"):
        return None
    return technique == "pizz"
