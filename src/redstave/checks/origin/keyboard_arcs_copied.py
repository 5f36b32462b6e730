"""The check `keyboard-arcs-copied`."""

from collections.abc import Iterator

from redstave.analysis import Analysis
from redstave.analysis.page import spot
from redstave.checks.needs import with_original
from redstave.checks.registry import CannotJudge, Limits, Setting, check
from redstave.model.finding import Claim, Evidence, Finding
from redstave.original.arcs import Arc, arcs, arcs_copied_share


@check(
    "keyboard-arcs-copied",
    Claim.QUESTION,
    sources=("hoffmann", "filmtips", "common-practice"),
    settings=(
        Setting(
            "least_barlines",
            3.0,
            "barlines",
            "a slur that crosses fewer may well be one gesture",
            "common-practice",
        ),
        Setting(
            "least_seconds",
            6.0,
            "s",
            "nor is a shorter one asked about",
            "common-practice",
        ),
    ),
)
def keyboard_arcs_copied(analysis: Analysis, limits: Limits) -> Iterator[Finding]:
    """Ask about long slurs of winds and strings that are the pianist's, note for note.

    What it reports
        Slurs over several bars that begin and end on the very notes where a slur of the piano piece
        begins and ends; and how many of all slurs of winds and strings do so.

    Why it matters
        A pianist's arc shows a phrase and costs nothing. A player's slur is one breath or one
        bow: he will break it where he must, each in another place, unless the page says where.

    How it is computed
        A slur is a copy if its first note comes from the first note of a slur of the original, and
        its last from that slur's last, in whatever octave. Short ones are left out: two notes are
        bound in both worlds.

    Limits
        A long phrase may fit one breath at this tempo; whether it does is for other checks.

    Sources
        hoffmann: a slur is a bow. filmtips: what a pianist's page leaves out. The limits are ours.
    """
    with_original(analysis)
    found = arcs(analysis)
    share = arcs_copied_share(found)
    if share is None:
        raise CannotJudge("neither winds nor strings have slurs over music of the original")
    parts, least = analysis.score.parts_by_id, limits["least_seconds"]
    if long_ := [arc for arc in found if _is_long(arc, limits["least_barlines"], least)]:
        longest = max(arc.seconds for arc in long_)
        yield Finding(
            "keyboard-arcs-copied",
            tuple(spot(parts[arc.part], arc.chords) for arc in long_),
            (
                Evidence("long slurs taken over from the piano", len(long_), "slurs"),
                Evidence("longest of them", round(longest, 1), "s", least),
                Evidence("of all slurs the pianist's", round(share, 2), "share of slurs"),
            ),
        )


def _is_long(arc: Arc, least_barlines: float, least_seconds: float) -> bool:
    return arc.copied and arc.barlines >= least_barlines and arc.seconds >= least_seconds
