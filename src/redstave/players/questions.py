"""What the page leaves open, as sentences for the teacher."""

from collections.abc import Iterator, Sequence

from redstave.instruments import InstrumentBook
from redstave.model.line import Tone
from redstave.model.score import Part, Score
from redstave.players.lines import Cast
from redstave.players.tones import Told

OCTAVES = frozenset({-12, 12, 24})


def about_casts(casts: Sequence[Cast], book: InstrumentBook | None) -> Iterator[str]:
    """Yield what is open about the names, the numbers of players and the transpositions."""
    for one in casts:
        yield from _about_name(one)
        if book is not None:
            yield from _about_octave(one, book)


def _about_name(one: Cast) -> Iterator[str]:
    name, naming = one.line.name, one.naming
    if any(not line.instrument for line in one.lines):
        yield f"“{name}”: it is not clear which instrument plays this part."
        return
    if naming.leftover:
        words = ", ".join(f"“{word}”" for word in naming.leftover)
        yield f"“{name}”: {words} is not understood; read as {naming.instrument}."
    if not naming.counted and not one.line.section and naming.instrument != "voice":
        yield f"“{name}”: the number of players is not given; {naming.players} assumed."
    if naming.candidates:
        choice = " or ".join(naming.candidates)
        yield f"“{name}” may be {choice}; read as {naming.instrument}."
    if naming.companions:
        others = " and ".join((naming.instrument, *naming.companions))
        yield (
            f"“{name}”: of two notes the lower is given to the {one.lines[one.low].instrument}, "
            f"a single line to {others} together."
        )


def _about_octave(one: Cast, book: InstrumentBook) -> Iterator[str]:
    """Ask about an octave instrument whose file gives no octave, as "0" or not at all."""
    instrument = one.naming.instrument
    if instrument not in book or not book[instrument].transpositions:
        return
    usual = book[instrument].transpositions[0]
    given = {mark.value for mark in one.part.marks_of("transposition")}
    if usual in OCTAVES and given <= {0.0}:
        yield (
            f"“{one.line.name}”: the file gives no octave transposition for the {instrument}; "
            "its notes are taken to sound as the file has them."
        )


def about_sharing(score: Score, one: Cast, bars: set[int]) -> Iterator[str]:
    """Yield the bars in which no word says who of several players has a single line."""
    if not bars:
        return
    numbers = [score.bars[bar].number for bar in sorted(bars)]
    shown = ", ".join(numbers[:8]) + (" …" if len(numbers) > 8 else "")
    yield (
        f"“{one.line.name}”, bars {shown}: no word says which of the {one.everyone.players} "
        "players has the single line; the last word before is taken to hold, else one player."
    )


def about_levels(
    casts: Sequence[Cast], told: Sequence[Told], tones: Sequence[Tone]
) -> Iterator[str]:
    """Yield the assumptions about levels, each once for the whole score."""
    lines = [line for one in casts for line in one.lines]
    silent = sorted({lines[tone.line].name for tone in tones if not tone.level_known})
    if silent:
        names = ", ".join(f"“{name}”" for name in silent[:12]) + (" …" if silent[12:] else "")
        yield f"No level is given at the beginning of {names}: mf assumed until the first mark."
    if any(track.assumed for one in told for track in one.levels.values()):
        yield (
            "A crescendo or diminuendo that leads to no mark is taken to move by one written "
            "step, by two after “molto”, counted from the last mark."
        )


def about_harmonics(casts: Sequence[Cast]) -> Iterator[str]:
    """Yield the parts whose harmonics are taken as written though they may sound elsewhere."""
    stringed = (one for one in casts if one.line.family in {"strings", "harp"})
    names = dict.fromkeys(f"“{one.line.name}”" for one in stringed if _touched(one.part))
    if names:
        yield (
            f"{', '.join(names)}: notes with diamond heads are taken to sound where they are "
            "written; a string touched there sounds higher."
        )


def _touched(part: Part) -> bool:
    return any(("notehead", "diamond") in note.details for note in part.notes)
