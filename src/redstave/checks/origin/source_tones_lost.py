"""The check `source-tones-lost`."""

from collections import defaultdict
from collections.abc import Iterator

from redstave.analysis import Analysis
from redstave.analysis.page import note_names
from redstave.checks.needs import with_original
from redstave.checks.registry import Limits, Setting, check
from redstave.model.finding import Claim, Evidence, Finding
from redstave.model.role import Role
from redstave.original.lost import Lost, lost_tones
from redstave.original.places import voice_spot

MOST_NAMED = 5
ROLES = {
    "the tune": (Role.TUNE,),
    "the bass": (Role.BASS,),
    "the harmony": (Role.INNER, Role.FIGURE, Role.PEDAL, Role.COUNTER),
}


@check(
    "source-tones-lost",
    Claim.RISK,
    sources=("common-practice",),
    settings=(
        Setting(
            "least_quarters",
            0.5,
            "quarter notes",
            "shorter tones of tune and bass are ornament and may go",
            "common-practice",
        ),
        Setting(
            "least_inner_quarters",
            1.0,
            "quarter notes",
            "shorter tones between tune and bass are figure and may go",
            "common-practice",
        ),
        Setting(
            "least_share",
            0.34,
            "share of pitch classes",
            "so much of what the piano sounds in a bar must be missing, unless tune or bass is",
            "common-practice",
        ),
    ),
)
def source_tones_lost(analysis: Analysis, limits: Limits) -> Iterator[Finding]:
    """Report tones of the piano piece that nobody plays in any octave.

    What it reports
        Bars in which a tone of the tune or of the bass, or a good part of the harmony, sounds
        nowhere in the orchestra.

    Why it matters
        The third of a chord or a note of the bass is easily lost when ten fingers become twenty
        staves. The hall misses it without knowing what it misses.

    How it is computed
        In every bar that was found in both, a tone of the piano is lost if no player sounds its
        pitch, in whatever octave, while it lasts. Short tones are left out, as are those whose
        pitch sounds elsewhere in the same bar. Passages where the whole tune is silent, and tones
        that were altered by a semitone, are reported by other checks.

    Limits
        A harmony that was changed on purpose is reported too, and so is an ornament that the score
        leaves out, if it is slow.

    Sources
        Common practice, no source; the limits are ours.
    """
    both = with_original(analysis)
    for what, lost_in in _lost(analysis, limits).items():
        tones = [both.match.source[at] for one in lost_in for at in one.tones]
        names = note_names(both.original.notes_by_id[tone.notes[0]] for tone in tones[:MOST_NAMED])
        more = " and others" if len(tones) > MOST_NAMED else ""
        spots = dict.fromkeys(voice_spot(both, one.bar, one.bar, ROLES[what]) for one in lost_in)
        yield Finding(
            "source-tones-lost",
            tuple(spots),
            (
                Evidence("tones of the piano that nobody plays", len(tones), "tones"),
                Evidence("bars in which they are missing", len(spots), "bars"),
            ),
            (("what", what), ("names", f"{names}{more}")),
            claim=Claim.QUESTION if what == "the harmony" else None,
        )


def _lost(analysis: Analysis, limits: Limits) -> dict[str, list[Lost]]:
    """Return what is lost in each bar, by what it is lost of, as ROLES names it."""
    groups: dict[str, list[Lost]] = defaultdict(list)
    for lost in lost_tones(analysis, limits["least_quarters"]):
        if lost.voice in ("tune", "bass"):
            groups[f"the {lost.voice}"].append(lost)
    for lost in lost_tones(analysis, limits["least_inner_quarters"]):
        if lost.voice == "harmony" and lost.share >= limits["least_share"]:
            groups["the harmony"].append(lost)
    return groups
