"""What the page leaves open, as questions for the teacher, each with its place."""

from collections.abc import Iterator, Sequence

from redstave.instruments import InstrumentBook
from redstave.model.line import OpenQuestion, Tone
from redstave.model.score import Part, Score
from redstave.players.lines import Cast
from redstave.players.tones import Told

OCTAVES = frozenset({-12, 12, 24})


def about_casts(casts: Sequence[Cast], book: InstrumentBook | None) -> Iterator[OpenQuestion]:
    """Yield what is open about the names, the numbers of players and the transpositions."""
    for one in casts:
        yield from _about_name(one)
        if book is not None:
            yield from _about_octave(one, book)


def _about_name(one: Cast) -> Iterator[OpenQuestion]:
    name, naming, part = one.line.name, one.naming, one.part.id
    if any(not line.instrument for line in one.lines):
        text = f"“{name}”: it is not clear which instrument plays this part."
        yield OpenQuestion("instrument-unknown", text, part=part)
        return
    if naming.leftover:
        words = ", ".join(f"“{word}”" for word in naming.leftover)
        text = f"“{name}”: {words} is not understood; read as {naming.instrument}."
        yield OpenQuestion("name-not-understood", text, part=part)
    if not naming.counted and not one.line.section and naming.instrument != "voice":
        text = f"“{name}”: the number of players is not given; {naming.players} assumed."
        yield OpenQuestion("players-not-counted", text, part=part)
    if naming.candidates:
        text = f"“{name}” may be {' or '.join(naming.candidates)}; read as {naming.instrument}."
        yield OpenQuestion("name-ambiguous", text, part=part)
    if naming.companions:
        others = " and ".join((naming.instrument, *naming.companions))
        text = (
            f"“{name}”: of two notes the lower is given to the {one.lines[one.low].instrument}, "
            f"a single line to {others} together."
        )
        yield OpenQuestion("stave-of-two-instruments", text, part=part)


def _about_octave(one: Cast, book: InstrumentBook) -> Iterator[OpenQuestion]:
    """Ask about an octave instrument whose file gives no octave, as "0" or not at all."""
    instrument = one.naming.instrument
    if instrument not in book or not book[instrument].transpositions:
        return
    usual = book[instrument].transpositions[0]
    given = {mark.value for mark in one.part.marks_of("transposition")}
    if usual in OCTAVES and given <= {0.0}:
        text = (
            f"“{one.line.name}”: the file gives no octave transposition for the {instrument}; "
            "its notes are taken to sound as the file has them."
        )
        yield OpenQuestion("octave-not-given", text, part=one.part.id)


def about_sharing(score: Score, one: Cast, bars: set[int]) -> Iterator[OpenQuestion]:
    """Yield the bars in which no word says who of several players has a single line."""
    if not bars:
        return
    numbers = [score.bars[bar].number for bar in sorted(bars)]
    shown = ", ".join(numbers[:8]) + (" …" if len(numbers) > 8 else "")
    text = (
        f"“{one.line.name}”, bars {shown}: no word says which of the {one.everyone.players} "
        "players has the single line; the last word before is taken to hold, else one player."
    )
    yield OpenQuestion("single-line-unlabelled", text, min(bars), one.part.id)


def about_levels(
    casts: Sequence[Cast], told: Sequence[Told], tones: Sequence[Tone]
) -> Iterator[OpenQuestion]:
    """Yield the assumptions about levels, each once for the whole score."""
    lines = [line for one in casts for line in one.lines]
    silent = sorted({lines[tone.line].name for tone in tones if not tone.level_known})
    if silent:
        names = ", ".join(f"“{name}”" for name in silent[:12]) + (" …" if silent[12:] else "")
        text = f"No level is given at the beginning of {names}: mf assumed until the first mark."
        yield OpenQuestion("no-first-level", text)
    if any(track.assumed for one in told for track in one.levels.values()):
        text = (
            "A crescendo or diminuendo that leads to no mark is taken to move by one written "
            "step, by two after “molto”, counted from the last mark."
        )
        yield OpenQuestion("swell-without-goal", text)


def about_harmonics(casts: Sequence[Cast]) -> Iterator[OpenQuestion]:
    """Yield the parts whose harmonics are taken as written though they may sound elsewhere."""
    stringed = (one for one in casts if one.line.family in {"strings", "harp"})
    names = dict.fromkeys(f"“{one.line.name}”" for one in stringed if _touched(one.part))
    if names:
        text = (
            f"{', '.join(names)}: notes with diamond heads are taken to sound where they are "
            "written; a string touched there sounds higher."
        )
        yield OpenQuestion("harmonics-as-written", text)


def _touched(part: Part) -> bool:
    return any(("notehead", "diamond") in note.details for note in part.notes)
