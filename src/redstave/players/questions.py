"""What the page leaves open, as questions for the teacher, each with its place."""

from collections.abc import Iterator, Mapping, Sequence

from redstave.instruments import InstrumentBook
from redstave.instruments.names import pitch_class
from redstave.model.line import Line, OpenQuestion, Tone
from redstave.model.score import Score
from redstave.players.calling import spoken
from redstave.players.dividing import DOUBLE_NOTES
from redstave.players.harmonics import ARTIFICIAL, CIRCLE, TOUCHED
from redstave.players.lines import Cast
from redstave.players.moments import Orders
from redstave.players.sharing import CHORD_UNLABELLED, CONTRADICTED, TOO_MANY, UNLABELLED
from redstave.players.struck import UNDECIDED
from redstave.players.tones import HARMONIC_DOUBTFUL, STRING_UNKNOWN

OCTAVES = frozenset({-12, 12, 24})


def about_casts(casts: Sequence[Cast], book: InstrumentBook | None) -> Iterator[OpenQuestion]:
    """Yield what is open about the names, the numbers of players and the transpositions."""
    for one in casts:
        yield from _about_name(one)
        yield from _about_kit(one)
        if book is not None:
            yield from _about_octave(one, book)
    yield from _about_score_in_c(casts, book)


def _about_score_in_c(casts: Sequence[Cast], book: InstrumentBook | None) -> Iterator[OpenQuestion]:
    """Ask about winds that transpose, and whose file gives no transposition."""
    names = [one.name for one in casts if _stands_as_it_sounds(one, book)]
    if names:
        told = ", ".join(f"“{name}”" for name in dict.fromkeys(names))
        text = (
            f"{told}: the file gives no transposition; the notes are taken to sound as they "
            "stand, as in a score in C."
        )
        yield OpenQuestion("transposition-not-given", text)


def _stands_as_it_sounds(one: Cast, book: InstrumentBook | None) -> bool:
    """Whether a wind instrument in another key than C has no transposition in the file.

    Where its name gives no key, the instrument must be one that is never in C.
    """
    if one.line.family not in {"woodwind", "brass"}:
        return False
    if any(mark.value for mark in one.part.marks_of("transposition")):
        return False
    if one.naming.key:
        return pitch_class(one.naming.key) != 0
    instrument = one.naming.instrument
    usual = book[instrument].transpositions if book is not None and instrument in book else ()
    return bool(usual) and all(shift % 12 for shift in usual)


def _about_name(one: Cast) -> Iterator[OpenQuestion]:
    name, naming, part = one.name, one.naming, one.part.id
    if any(not line.instrument for line in one.lines):
        text = f"“{name}”: it is not clear which instrument plays this part."
        yield OpenQuestion("instrument-unknown", text, part=part)
        return
    if naming.leftover:
        words = ", ".join(f"“{word}”" for word in naming.leftover)
        known = " and ".join(map(spoken, (*naming.instruments, *naming.companions)))
        text = f"“{name}”: {words} is not understood; read as {known}."
        yield OpenQuestion("name-not-understood", text, part=part)
    if not naming.counted and not one.line.section and naming.instrument != "voice":
        text = f"“{name}”: the number of players is not given; {naming.players} assumed."
        yield OpenQuestion("players-not-counted", text, part=part)
    if naming.candidates:
        either = " or ".join(map(spoken, naming.candidates))
        text = f"“{name}” may be {either}; read as {spoken(naming.instrument)}."
        yield OpenQuestion("name-ambiguous", text, part=part)
    if naming.companions:
        others = " and ".join(map(spoken, (naming.instrument, *naming.companions)))
        text = (
            f"“{name}”: of two notes the lower is given to the {_lowest(one)}, "
            f"a single line to {others} together."
        )
        yield OpenQuestion("stave-of-two-instruments", text, part=part)


def _about_kit(one: Cast) -> Iterator[OpenQuestion]:
    """Ask which of several percussion instruments is struck where no word and no note tells."""
    kit = one.naming.instruments
    if len(kit) > 1 and one.line.family == "percussion" and not (one.turns or one.sounds):
        text = (
            f"“{one.name}”: nothing tells which of {', '.join(map(spoken, kit))} a note is for; "
            f"{spoken(kit[0])} assumed."
        )
        yield OpenQuestion("percussion-untold", text, part=one.part.id)


def _lowest(one: Cast) -> str:
    return spoken((one.lines[-1] if one.desks else one.lines[one.low]).instrument)


def _about_octave(one: Cast, book: InstrumentBook) -> Iterator[OpenQuestion]:
    """Ask about octave instruments whose file gives no octave, as "0" or not at all."""
    given = {mark.value for mark in one.part.marks_of("transposition")}
    if not given <= {0.0}:
        return
    for instrument in dict.fromkeys(line.instrument for line in one.lines):
        usual = book[instrument].transpositions[:1] if instrument in book else ()
        if OCTAVES.intersection(usual):
            text = (
                f"“{one.name}”: the file gives no octave transposition for the "
                f"{spoken(instrument)}; its notes are taken to sound as the file has them."
            )
            yield OpenQuestion("octave-not-given", text, part=one.part.id)


_OPEN_BARS = {
    UNLABELLED: ("no word says which of the {players} players has the single line; {assumed}."),
    CHORD_UNLABELLED: (
        "no word says which of the {players} players have which notes; from the top, "
        "the first players are assumed, one a note."
    ),
    TOO_MANY: (
        "more notes stand at once than the {players} players can have; the last player is "
        "given those left over."
    ),
    CONTRADICTED: (
        "a word says who plays, but other notes stand there than these players can have; the notes "
        "are dealt out as they stand."
    ),
    UNDECIDED: (
        "neither words nor noteheads nor places on the stave say which of the two instruments has "
        "a single note; it is given to both."
    ),
    DOUBLE_NOTES: (
        "no word says whether notes in one voice are divided or double stops; each is "
        "counted with an equal share of the players."
    ),
    STRING_UNKNOWN: (
        "no word says on which string a diamond is touched; it is taken to sound as the lowest "
        "partial that differs from the touched pitch."
    ),
    HARMONIC_DOUBTFUL: (
        "a string touched there does not sound as the page prints it; the printed pitch is taken."
    ),
}
MOST_BARS = 8


def about_open_bars(
    score: Score, one: Cast, found: Mapping[str, set[int]]
) -> Iterator[OpenQuestion]:
    """Yield a question for each code with the bars in which it arises."""
    players = len(one.desks) or one.line.players
    assumed = (
        "everyone is assumed"
        if one.companions
        else "one is assumed, the last one named or else the first"
    )
    for code, bars in sorted(found.items()):
        numbers = [score.bars[bar].number for bar in sorted(bars)]
        shown = ", ".join(numbers[:MOST_BARS]) + (" …" if len(numbers) > MOST_BARS else "")
        noun = "bar" if len(numbers) == 1 else "bars"
        told = _OPEN_BARS[code].format(players=players, assumed=assumed)
        yield OpenQuestion(code, f"“{one.name}”, {noun} {shown}: {told}", min(bars), one.part.id)


def about_levels(
    lines: Sequence[Line], orders: Sequence[Orders], tones: Sequence[Tone]
) -> Iterator[OpenQuestion]:
    """Yield the assumptions about levels, each once for the whole score."""
    struck = {
        line.name
        for line, told in zip(lines, orders, strict=True)
        if any(track.played for track in told.levels.values())
    }
    if struck:
        text = (
            "The file says how hard each tone is struck, and no level: the levels are estimated "
            "from it, one for each bar of a line, ppp 16, pp 32 … ff 112, fff 127 of MIDI's "
            "velocities. They may be off by a level, and by more where lines were played in apart."
        )
        yield OpenQuestion("levels-from-velocity", text)
    unsaid = {lines[tone.line].name for tone in tones if not tone.level_known}
    silent = sorted(unsaid - struck)
    if silent:
        names = ", ".join(f"“{name}”" for name in silent[:12]) + (" …" if silent[12:] else "")
        text = f"No level is given at the beginning of {names}: mf assumed until the first mark."
        yield OpenQuestion("no-first-level", text)
    if any(track.assumed for told in orders for track in told.levels.values()):
        text = (
            "A crescendo or diminuendo that leads to no mark is taken to move by one written "
            "step, by two after “molto”, counted from the last mark."
        )
        yield OpenQuestion("swell-without-goal", text)


_READ_AS = {
    CIRCLE: "notes with a circle are taken to sound {where}",
    TOUCHED: "diamonds alone are taken as touched on an open string, and sound higher",
    ARTIFICIAL: "diamonds above another note are taken as touched on its string, and sound higher",
}


def about_harmonics(casts: Sequence[Cast]) -> Iterator[OpenQuestion]:
    """Yield how the harmonics of each part are read; two ways of writing them are in use."""
    for one in casts:
        kinds = sorted({harmonic.kind for harmonic in one.harmonics.values()})
        if kinds:
            harp = one.line.family == "harp"
            where = "an octave higher than written" if harp else "where they are written"
            told = "; ".join(_READ_AS[kind] for kind in kinds).format(where=where)
            yield OpenQuestion("harmonics-read", f"“{one.name}”: {told}.", part=one.part.id)
