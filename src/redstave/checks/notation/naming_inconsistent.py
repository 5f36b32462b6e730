"""The check `naming-inconsistent`."""

from collections import defaultdict
from collections.abc import Iterator, Mapping, Sequence

from redstave.analysis import Analysis
from redstave.analysis.staffing import staffing
from redstave.checks.registry import Limits, check
from redstave.instruments import resolve_name
from redstave.model.finding import Claim, Evidence, Finding, Spot
from redstave.model.score import Part

NUMBERED = frozenset({"woodwind", "brass"})
#: Instruments that have stood in several keys, so that the key belongs to the name.
KEYED = frozenset({"clarinet", "bass-clarinet", "horn", "trumpet", "cornet", "wagner-tuba"})


@check("naming-inconsistent", Claim.QUESTION, sources=("silverman", "reading1", "common-practice"))
def naming_inconsistent(analysis: Analysis, _: Limits) -> Iterator[Finding]:
    """Ask about wind staves whose names do not say which player reads them.

    What it reports
        Two wind staves of one instrument without numbers, or with the same number; and a
        transposing wind stave that does not name its key.

    Why it matters
        The librarian lays parts on stands by their names. Two parts called "Trumpet" are dealt by
        chance, and a horn player needs to know whether F or E flat is meant.

    How it is computed
        The names are read as players would read them: instrument, numbers, key. Staves of one
        instrument must differ in their numbers. A stave that sounds other than written by anything
        but octaves must name a key: where its instrument is built in several today (clarinets,
        trumpets), where it sounds otherwise than today's would (horn in E flat), and where another
        clarinet, horn or trumpet of the same page names its own.

    Limits
        Strings divide on many staves and are left alone, as are instruments whose transposition is
        the only one they have (cor anglais, alto flute).

    Sources
        silverman: numbers where there is more than one; reading1: labels on shared staves. That a
        key belongs to the name: common practice.
    """
    crew = staffing(analysis.playing)
    winds = [
        part
        for part in analysis.score.parts
        if part.id in crew and crew[part.id].family in NUMBERED and crew[part.id].instrument
    ]
    by_instrument: dict[str, list[Part]] = defaultdict(list)
    for part in winds:
        by_instrument[crew[part.id].instrument].append(part)
    for same in by_instrument.values():
        if clash := _clashing(same):
            yield _finding("do not tell the players apart by number", clash)
    if keyless := _keyless(analysis, by_instrument):
        yield _finding("do not name the key they are written in", keyless)


def _clashing(same: list[Part]) -> list[Part]:
    """Return the parts of one instrument that share a number, or have none among several."""
    readers: dict[int, list[Part]] = defaultdict(list)
    for part in same:
        for number in resolve_name(part.name, part.abbreviation).numbers or (0,):
            readers[number].append(part)
    clash = [part for parts in readers.values() if len(parts) > 1 for part in parts]
    return [part for part in same if part in clash]


def _keyless(analysis: Analysis, by_instrument: Mapping[str, Sequence[Part]]) -> list[Part]:
    """Return the parts that do not name their key and should, in the order of the page."""
    kind = {part.id: name for name, same in by_instrument.items() for part in same}
    winds = [part for part in analysis.score.parts if part.id in kind]
    named = {part.id for part in winds if resolve_name(part.name, part.abbreviation).key}
    page_names = any(kind[part] in KEYED for part in named)
    return [
        part
        for part in winds
        if part.id not in named and _wants_key(analysis, part, kind[part.id], page_names)
    ]


def _wants_key(analysis: Analysis, part: Part, instrument: str, page_names: bool) -> bool:
    """Tell whether a stave's transposition must be told; `page_names` if others' are."""
    steps = {round(mark.value) % 12 for mark in part.marks_of("transposition")}
    usual = analysis.book[instrument].transpositions if instrument in analysis.book else ()
    today = {step % 12 for step in usual}
    asked = instrument in KEYED and (page_names or not steps <= today)
    return any(steps) and (len(today) > 1 or asked)


def _finding(fault: str, parts: list[Part]) -> Finding:
    return Finding(
        "naming-inconsistent",
        tuple(Spot(0, 0, part.id, 1, 0) for part in parts),
        (Evidence("staves concerned", len(parts), "staves"),),
        (("fault", fault),),
    )
