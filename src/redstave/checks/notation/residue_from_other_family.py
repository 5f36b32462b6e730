"""The check `residue-from-other-family`."""

import re
from collections.abc import Iterator
from typing import NamedTuple

from redstave.analysis import Analysis
from redstave.analysis.staffing import Staffing, staffing
from redstave.checks.grouping import gathered
from redstave.checks.registry import CannotJudge, Limits, check
from redstave.model.finding import Claim, Evidence, Finding, Spot
from redstave.model.score import Mark, Part
from redstave.players.techniques import MUTES, read_techniques

BOW = re.compile(
    r"\bpizz|\barco\b|\bcol\s+legno|\bspicc|\bsautill|\bsul\s+(?:pont|tasto|[GDAEC]\b)"
    r"|\bsulla\s+tastiera|\bpunta\s+d'?\s?arco|\bam\s+(?:frosch|steg|griffbrett)|\b[GDAEC][-\s]saite"
    r"|\bsur\s+la\s+touche|\bchevalet|\barchet\b|\btalon\b|\b(?:up|down)[-\s]?bow\b",
    re.IGNORECASE,
)
DESKS = re.compile(r"\bdiv\b|\bdivis[ie]\b|\bnon\s+div|\bgeteilt\b|\bdivis[ée]+s\b", re.IGNORECASE)
BREATH = re.compile(
    r"\bflatterz|\bflz\b|\bfrull|\bflutter|\bgestopft|\bbouch[ée]|\bcuivr|\bschmetternd|\bschalltr"
    r"|\bpavillons?\s+en|\bbells?\s+up|\bcampan[ae]\s+in|\bdouble[-\s]tongu|\btriple[-\s]tongu",
    re.IGNORECASE,
)
BOTH = re.compile(r"\b(?:a|à)\s?2\b|\bzu\s+2\b|\ba\s+due\b", re.IGNORECASE)
KEYS = re.compile(r"\bped\.|\b(?:con|senza)\s+ped|\bmit\s+pedal", re.IGNORECASE)

MUTED = MUTES | {"mute", "unmute"}
BOW_SIGNS = frozenset({"up-bow", "down-bow", "snap-pizzicato"})
BREATH_SIGNS = frozenset(
    {"double-tongue", "triple-tongue", "hole", "brass-bend", "harmon-mute", "half-muted", "smear"}
)


class Residue(NamedTuple):
    """A word or sign, the family whose it is, and whether some writers use it here as well."""

    word: str
    family: str
    certain: bool


@check(
    "residue-from-other-family",
    Claim.IMPOSSIBLE,
    sources=("silverman", "reading1", "common-practice"),
)
def residue_from_other_family(analysis: Analysis, _: Limits) -> Iterator[Finding]:
    """Find words and signs that belong to another family of instruments.

    What it reports
        Words and signs of bowing, plucking or dividing on a wind stave; of tonguing, stopping or
        "a 2" on a string stave; of the piano's pedal on either.

    Why it matters
        A word that players do not recognise stops them: they look for a meaning, or ask. It also
        hides what was meant, such as how many are to play.

    How it is computed
        Words and technical signs are held against the vocabulary of each family in Italian, French,
        German and English. Where some writers do use the word there, the claim is a question: div.
        on a stave with several wind players, and a 2 on a stave of strings, which may stand for a
        division in two. Words beside cue notes are passed over.

    Limits
        Percussion, harp, keyboards and voices are not judged, since many of these words are good
        there: a bowed cymbal is played arco. Mutes belong to strings and brass alike; a woodwind
        player, whose mutes are rare, is asked about.

    Sources
        silverman (copying errors), reading1 (a 2 is for winds and brass only, div. and unis. for
        strings). The vocabulary is common practice.
    """
    who = staffing(analysis.playing)
    if not any(one.family in ("woodwind", "brass", "strings") for one in who.values()):
        raise CannotJudge("no part was recognised as a wind or string instrument")
    parts = [part for part in analysis.score.parts if part.id in who]
    for residue, spots in gathered(one for part in parts for one in _in_part(part, who[part.id])):
        yield Finding(
            "residue-from-other-family",
            spots,
            (Evidence("places", len(spots), "places"),),
            (("word", residue.word), ("family", residue.family)),
            Claim.IMPOSSIBLE if residue.certain else Claim.QUESTION,
        )


def _in_part(part: Part, who: Staffing) -> Iterator[tuple[Residue, Spot]]:
    judge = {"woodwind": _on_winds, "brass": _on_winds, "strings": _on_strings}.get(who.family)
    if judge is None:
        return
    cued = {note.bar for note in part.notes if note.cue}
    for mark in part.marks_of("word", "technical"):
        residue = judge(mark, who)
        if residue is not None and mark.bar not in cued:
            notes = (mark.note,) if mark.note else ()
            yield residue, Spot(mark.bar, mark.offset, part.id, mark.stave, mark.bar, notes)
    if who.family != "unknown":
        yield from _pedals(part)


def _on_winds(mark: Mark, who: Staffing) -> Residue | None:
    if mark.kind == "technical":
        return Residue(mark.name, "strings", True) if mark.name in BOW_SIGNS else None
    if bow := BOW.search(mark.text):
        return Residue(_word(mark, bow), "strings", True)
    if desks := DESKS.search(mark.text):
        return Residue(_word(mark, desks), "strings", who.players == 1)
    if who.family == "woodwind" and not MUTED.isdisjoint(read_techniques(mark.text)):
        return Residue(" ".join(mark.text.split()), "strings", False)
    return _of_keyboard(mark)


def _on_strings(mark: Mark, who: Staffing) -> Residue | None:
    if mark.kind == "technical":
        return Residue(mark.name, "wind", True) if mark.name in BREATH_SIGNS else None
    if breath := BREATH.search(mark.text):
        return Residue(_word(mark, breath), "wind", True)
    both = BOTH.search(mark.text)
    if both and who.section and not DESKS.search(mark.text):
        return Residue(_word(mark, both), "wind", False)
    return _of_keyboard(mark)


def _of_keyboard(mark: Mark) -> Residue | None:
    keys = KEYS.search(mark.text)
    return Residue(_word(mark, keys), "keyboard", True) if keys else None


def _pedals(part: Part) -> Iterator[tuple[Residue, Spot]]:
    for span in part.spans_of("pedal"):
        start = span.start
        if start is not None:
            last = span.stop.bar if span.stop else start.bar
            spot = Spot(start.bar, start.offset, part.id, start.stave, last)
            yield Residue("pedal sign", "keyboard", True), spot


def _word(mark: Mark, found: re.Match[str]) -> str:
    """Return the whole printed text if it is short, else the word found in it."""
    text = " ".join(mark.text.split())
    return text if len(text) <= 24 else found[0]
