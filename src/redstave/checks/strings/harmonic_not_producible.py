"""The check `harmonic-not-producible`."""

from collections import defaultdict
from collections.abc import Iterator

from redstave.analysis import Analysis
from redstave.analysis.harmonics import Fault, Faulty, faulty_harmonics
from redstave.analysis.page import note_names, spot
from redstave.checks.grouping import joined
from redstave.checks.needs import bowed
from redstave.checks.registry import Limits, check
from redstave.model.finding import Claim, Evidence, Finding, Spot

CLAIMS = {
    Fault.NO_NODE: Claim.IMPOSSIBLE,
    Fault.UNUSUAL: Claim.RISK,
    Fault.BEYOND_HAND: Claim.RISK,
    Fault.OTHER_PITCH: Claim.RISK,
    Fault.TOUCH_OR_SOUND: Claim.QUESTION,
}
REASONS = {
    Fault.NO_NODE: "no partial has a node there",
    Fault.UNUSUAL: "only a partial above the sixth has a node there, which speaks poorly",
    Fault.BEYOND_HAND: "the touching finger would stand too far from the stopping one",
    Fault.OTHER_PITCH: "touched there, the string sounds another note than the one that is printed",
    Fault.TOUCH_OR_SOUND: "it can be read as the note that is touched or as the one that sounds",
}


@check(
    "harmonic-not-producible",
    Claim.IMPOSSIBLE,
    sources=("harmtab", "harmped", "hansen", "common-practice"),
)
def harmonic_not_producible(analysis: Analysis, _: Limits) -> Iterator[Finding]:
    """Find harmonics of bowed strings that the string does not give.

    What it reports
        Diamonds that stand where no partial has a node; artificial harmonics too wide for one hand,
        or whose printed result is not what sounds; circles over notes that are no harmonic of the
        instrument.

    Why it matters
        Touched beside a node the string gives no tone but a scratch. Where the page can be read in
        two ways, half the players are an octave or two away from the others.

    How it is computed
        A string touched at the fraction m/n of its length sounds its partial n. A diamond above a
        note is a touch above a stopped finger, a diamond alone a touch on an open string, a circle
        the pitch that sounds. Touch and string are held against the nodes of the partials up to the
        sixth (the eighth on cellos and basses), within a third of a semitone. An artificial
        harmonic is measured on the string like a stop, and must lie within the stretched hand. A
        circle is right when some open string has that partial, or when the note can be made as an
        artificial harmonic by a fourth, fifth or major third.

    Limits
        Which string is meant is not asked: any will do. A diamond beside another voice of its stave
        is left alone, and so is a circle over the pitch of an open string, which may mean just that
        string. Harmonics of the harp are not judged.

    Sources
        What sounds above an open string touched at octave, fifth, fourth, thirds and sixth, and
        that higher partials are unusual except on basses: harmtab, harmped. Touched a fourth above
        the stopped note, two octaves above it: hansen. The fifth and the third, and what lies in
        the hand: common practice, no source.
    """
    found: dict[Fault, list[tuple[Faulty, Spot]]] = defaultdict(list)
    for part in bowed(analysis):
        for one in faulty_harmonics(part, analysis.book):
            found[one.fault].append((one, spot(part.part, [one.chord])))
    for fault, places in found.items():
        yield _finding(fault, places)


def _finding(fault: Fault, places: list[tuple[Faulty, Spot]]) -> Finding:
    first = places[0][0]
    return Finding(
        "harmonic-not-producible",
        joined(place for _, place in places),
        (
            Evidence("harmonics", len(places), "harmonics"),
            Evidence("first of them", note_names(first.notes)),
        ),
        (("reason", REASONS[fault]),),
        CLAIMS[fault],
    )
