"""Who is meant: lines by their name, instrument, players' numbers or family."""

from collections.abc import Iterable, Sequence

from redstave.base.errors import InputError
from redstave.instruments import InstrumentBook, resolve_name
from redstave.model.change import TakenOver
from redstave.model.line import Forces, Line, Playing

FAMILIES = {
    "woodwind": ("woodwind",),
    "woodwinds": ("woodwind",),
    "wood": ("woodwind",),
    "winds": ("woodwind", "brass"),
    "brass": ("brass",),
    "percussion": ("percussion",),
    "keyboards": ("keyboard",),
    "strings": ("strings",),
    "voices": ("voice",),
}
EVERYONE = frozenset({"all", "tutti", "everyone"})
SECTIONS = frozenset({"violin", "viola", "cello", "double-bass"})


def select_lines(playing: Playing, who: str) -> tuple[str, ...]:
    """Return the ids of the lines that a text such as "Horns, Trombone 1, strings" names.

    Comma separated: names of lines, instruments (a plural means all of them, numbers pick players),
    families. Whoever divides is meant with his section. InputError where a word names nobody, or
    leaves open which line is meant.
    """
    words = [" ".join(word.split()) for word in who.split(",") if word.strip()]
    if not words:
        raise InputError(f"say who is meant: {_list(playing.lines)}, or a family such as brass")
    chosen = {line.id: line for word in words for line in _named(playing.lines, word)}
    for line in playing.lines:  # a line comes after the one whose players it has
        if line.of in chosen and line.instrument == chosen[line.of].instrument:
            chosen[line.id] = line
    return tuple(line.id for line in playing.lines if line.id in chosen)


def _named(lines: Sequence[Line], word: str) -> list[Line]:
    wanted = word.casefold()
    if wanted in EVERYONE:
        return list(lines)
    # With the full stop or without: "Viole." is what stands on the page.
    exact = [line for line in lines if line.name.casefold().rstrip(".") == wanted.rstrip(".")]
    if exact:
        return exact
    families = FAMILIES.get(wanted, ())
    of_family = [line for line in lines if line.family in families]
    if of_family:
        return of_family
    return _of_instrument(lines, word)


def _of_instrument(lines: Sequence[Line], word: str) -> list[Line]:
    naming = resolve_name(word)
    understood = bool(naming.instrument) and not naming.leftover
    instrument = {line.id: line.instrument for line in lines}
    whole = [line for line in lines if instrument.get(line.of) != line.instrument]
    found = [line for line in whole if understood and line.instrument == naming.instrument]
    numbers = set(naming.numbers)
    if numbers:
        found = [line for line in found if numbers & set(line.numbers)]
    if not found:
        raise InputError(
            f'nobody here is called "{word}"; there are {_list(whole)}, and the families '
            f"{', '.join(sorted({line.family for line in lines}))}"
        )
    if len(found) > 1 and not naming.plural and not numbers:
        raise InputError(
            f'"{word}" may be any of {_list(found)}; name one of them, '
            "or write the plural for all of them"
        )
    return found


def _list(lines: Iterable[Line]) -> str:
    return ", ".join(dict.fromkeys(line.name for line in lines))


def successor(
    text: str, octaves: int, forces: Forces, book: InstrumentBook, players: int | None = None
) -> TakenOver:
    """Return who takes over when a text such as "Bassoon" or "Violas" names the instrument.

    A plural of strings is the whole section, one of winds as many players as it says (two if it
    does not), unless `players` says how many. InputError for a name that is not known.
    """
    naming = resolve_name(text)
    if naming.instrument not in book:
        raise InputError(f'"{text}" is not an instrument that is known here; write such as Bassoon')
    instrument = book[naming.instrument]
    section = instrument.id in SECTIONS and naming.plural
    number = naming.numbers[0] if naming.numbers else 0
    usual = forces.section(instrument.id, number) if section else naming.players
    return TakenOver(
        instrument.id,
        instrument.name,
        instrument.family,
        usual if players is None else players,
        section,
        octaves,
    )
