"""The check `harp-hand-overload`."""

from collections.abc import Iterator

from redstave.analysis import Analysis
from redstave.analysis.page import note_names, spot
from redstave.analysis.struck import Struck, struck
from redstave.analysis.tables import cited
from redstave.checks.needs import harps
from redstave.checks.registry import Limits, check
from redstave.model.finding import Claim, Evidence, Finding
from redstave.model.score import Note, Part


@check("harp-hand-overload", Claim.RISK, sources=("rk", "harpleg"))
def harp_hand_overload(analysis: Analysis, _: Limits) -> Iterator[Finding]:
    """Find harp chords with too many notes for a hand, or too wide for it.

    What it reports
        More than four notes struck together on one stave of the harp, more than eight in all, and
        chords of one stave wider than a hand.

    Why it matters
        Harpists play with four fingers, without the little one. A fifth note is left out or rolled
        from the other hand, if that is free.

    How it is computed
        The notes struck at one moment are counted stave by stave and in all, and the interval from
        lowest to highest on a stave held against the table. More than eight in all is impossible.
        Where the other stave has room, five on a stave can be shared and are not reported.

    Limits
        Rolled chords can be wider: those marked arpeggiato are left out.

    Sources
        rk: four fingers of each hand. harpleg: a tenth is normal, an eleventh a strain.
    """
    for part in harps(analysis):
        bad = [one for one in struck(analysis.score, part) if _overload(part, one)]
        if bad:
            yield _finding(part, bad)


def _overload(part: Part, one: Struck) -> bool:
    fingers = cited("harp", "fingers").number
    hands = [one.on_stave(stave) for stave in range(1, max(part.staves, 1) + 1)]
    room = 2 * fingers
    return len(one.notes) > room or (
        any(_too_wide(hand) for hand in hands) and not _rolled(part, one)
    )


def _too_wide(hand: tuple[Note, ...]) -> bool:
    pitches = [note.written_midi for note in hand]
    limit = cited("harp", "span")
    wide = bool(pitches) and max(pitches) - min(pitches) > limit.number + limit.uncertainties[0]
    return wide and len(pitches) <= cited("harp", "fingers").number


def _rolled(part: Part, one: Struck) -> bool:
    ids = {note.id for note in one.notes}
    return any(mark.note in ids for mark in part.marks_of("arpeggio"))


def _finding(part: Part, bad: list[Struck]) -> Finding:
    fingers = cited("harp", "fingers").number
    most = max(bad, key=lambda one: len(one.notes))
    impossible = len(most.notes) > 2 * fingers
    return Finding(
        "harp-hand-overload",
        tuple(spot(part, one.chords) for one in bad),
        (
            Evidence("most notes at once", len(most.notes), "notes", int(2 * fingers)),
            Evidence("chords concerned", len(bad), "chords"),
        ),
        (("notes", note_names(bad[0].notes)),),
        Claim.IMPOSSIBLE if impossible else Claim.RISK,
    )
