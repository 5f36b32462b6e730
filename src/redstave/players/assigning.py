"""Which lines of a part play a note, and with how many players each.

Players who change instrument play on the one they hold. Wind players who share a stave are told
apart by `sharing`, the parts of a string section by `dividing`. Elsewhere a stave that two
instruments share ("Vc. e Cb.", "Gr. Cassa e Piatti") gives the lowest of two voices or of a chord
to the second-named (or to the bass drum), a single line to everyone, unless a word names one. Of
two percussion instruments the notes themselves may tell (`struck`); where nothing does, it is asked
about.
"""

from bisect import bisect_right
from collections.abc import Hashable, Iterator, Sequence
from typing import NamedTuple

from redstave.model.score import Note, Score
from redstave.players.desks import numbers_of, order_of, seats_of
from redstave.players.dividing import Section, shared_out
from redstave.players.labels import Label, labels
from redstave.players.lines import Cast
from redstave.players.sharing import TOLD, TOO_MANY, Desks, Who
from redstave.players.struck import UNDECIDED, struck_lines
from redstave.players.texture import SINGLE, Stand, any_between
from redstave.players.turns import turn_at

BLOWN = frozenset({"woodwind", "brass"})


class Given(NamedTuple):
    """One line's part in a note, or in a chain of tied notes.

    `open` is the code of the question the page leaves, or "". Of a chain the line has the notes
    from `first` to `last`; `continued` is true when its players go on from a stretch before,
    without a new attack.
    """

    line: int
    players: float
    open: str = TOLD
    first: int = 0
    last: int = 0
    continued: bool = False


class Assignment:
    """Answers for one part which of its lines play a note; notes given as (note, tick)."""

    def __init__(self, cast: Cast, score: Score) -> None:
        self._cast = cast
        self.desks = _desks(cast, score) if cast.desks else None
        self.section = Section(cast.states) if cast.groups else None
        numbers = numbers_of(cast.naming)
        self._seats = seats_of(cast.part, cast.naming, numbers) if cast.desks else {}
        two = cast.companions
        self._struck = struck_lines(cast.part, cast.counted, cast.lines, cast.low) if two else {}
        # Where nobody changes instrument, who plays settles the lines.
        self._steady = all(len(desk.lines) == 1 for desk in cast.desks)
        self._known: dict[Hashable, tuple[Given, ...]] = {}  # by all that it depends on

    def given(self, note: Note, tick: int) -> tuple[Given, ...]:
        """Return who plays a note that starts at `tick`."""
        cast = self._cast
        if self.desks is not None:
            return self._at_desks(self.desks, note, tick)
        stand = cast.counted.stands.get(note.id, SINGLE)
        if self.section is not None:
            return self._in_section(self.section, note, tick, stand)
        if cast.companions:
            return self._among_companions(note, tick)
        held = cast.sounds.get(note.instrument) if cast.sounds else None
        if held is None:
            held = turn_at(cast.turns, tick) if cast.turns else 0
        line = held
        asked = line, cast.heads[line][note.bar], stand
        given = self._known.get(asked)
        if given is None:
            share = max(1.0, asked[1] / stand.total)
            given = self._known[asked] = (Given(line, share, self._doubt(line, stand)),)
        return given

    def _in_section(
        self, section: Section, note: Note, tick: int, stand: Stand
    ) -> tuple[Given, ...]:
        cast = self._cast
        asked = section.state(note.stave, tick), stand, cast.heads[0][note.bar]
        given = self._known.get(asked)
        if given is None:
            shared = shared_out(*asked)
            given = self._known[asked] = tuple(
                Given(cast.groups[group.name, group.part], group.players, shared.open)
                for group in shared.groups
            )
        return given

    def held(self, chain: Sequence[tuple[Note, int]]) -> Iterator[Given]:
        """Yield who plays a chain of tied notes, and how much of it.

        A tie cannot pass from one wind player to another: who has the first note holds on until the
        page gives a later note of the chain to others of them. Where the first note leaves it open,
        the first that does not tells. A section goes on with as many players as each note has.
        """
        given = self.given(*chain[0])
        if len(chain) == 1 or len(self._cast.lines) == 1:
            yield from (one._replace(last=len(chain) - 1) for one in given)
            return
        later = [given, *(self.given(note, tick) for note, tick in chain[1:])]
        yield from _segments(later) if self.section is not None else _endured(later)

    def _at_desks(self, desks: Desks, note: Note, tick: int) -> tuple[Given, ...]:
        seat = self._seats.get(note.instrument) if self._seats else None
        who = desks.who(note, tick) if seat is None else Who((seat,))
        given = self._known.get(who)
        if given is None:
            lines = (self._line_of(player, note, tick) for player in who.players)
            given = tuple(Given(line, 1.0, who.open) for line in lines)
            if self._steady:
                self._known[who] = given
        return given

    def _line_of(self, player: int, note: Note, tick: int) -> int:
        desk = self._cast.desks[player]
        held = self._cast.sounds.get(note.instrument, -1)
        if held not in desk.lines:
            held = turn_at(desk.turns, tick, desk.first)
        return desk.lines[held]

    def _doubt(self, line: int, stand: Stand) -> str:
        """Return TOO_MANY where one wind player has several notes."""
        blown = self._cast.lines[line].family in BLOWN
        return TOO_MANY if blown and stand.played > 1 else TOLD

    def _among_companions(self, note: Note, tick: int) -> tuple[Given, ...]:
        cast = self._cast
        everyone = range(len(cast.lines))
        stand = cast.counted.stand(note)
        struck = self._struck.get(note.id)
        if struck is not None:
            return (Given(struck, cast.heads[struck][note.bar]),)
        if stand.total > 1:
            if stand.position == stand.total - 1:
                return (Given(cast.low, cast.heads[cast.low][note.bar]),)
            upper = stand.total - 1
            others = [line for line in everyone if line != cast.low]
            return tuple(
                Given(line, max(1.0, cast.heads[line][note.bar] / upper)) for line in others
            )
        named = self._named(note, tick)
        if named is not None:
            return (Given(named, cast.heads[named][note.bar]),)
        open_ = UNDECIDED if all(line.family == "percussion" for line in cast.lines) else TOLD
        return tuple(Given(line, cast.heads[line][note.bar], open_) for line in everyone)

    def _named(self, note: Note, tick: int) -> int | None:
        """Return the line that a word has named, until the stave has more than one line again."""
        turns = self._cast.turns
        index = bisect_right(turns, tick, key=lambda turn: turn.tick) - 1
        if index < 0:
            return None
        parted = self._cast.counted.parted.get(note.stave, ())
        return None if any_between(parted, turns[index].tick, tick) else turns[index].holds


def _desks(cast: Cast, score: Score) -> Desks:
    numbers = numbers_of(cast.naming)
    everyone = (*numbers, *(0 for _ in cast.companions))
    told = labels(score, cast.part, everyone)
    told[1].extend(_named_by_instrument(cast))
    order = (*order_of(cast.naming.instrument, numbers), *range(len(numbers), len(cast.desks)))
    return Desks(score, cast.part, cast.counted, told, order, bool(cast.companions))


def _named_by_instrument(cast: Cast) -> Iterator[Label]:
    """Yield labels from words that name an instrument only some players of the stave have."""
    for turn in cast.turns:
        if cast.companions:
            players = tuple(p for p, desk in enumerate(cast.desks) if turn.holds in desk.lines)
        else:
            players = tuple(p for p, desk in enumerate(cast.desks) if turn in desk.turns)
        if turn.holds in cast.companions or (players and len(players) < len(cast.desks)):
            yield Label(turn.tick, players)


def _segments(later: Sequence[tuple[Given, ...]]) -> Iterator[Given]:
    """Yield the stretches of a chain over which the same lines of a section have it."""
    first = 0
    lines = [[one.line for one in given] for given in later]
    for place in range(1, len(later) + 1):
        if place == len(later) or lines[place] != lines[first]:
            for one in later[first]:
                yield one._replace(first=first, last=place - 1, continued=first > 0)
            first = place


def _endured(later: Sequence[tuple[Given, ...]]) -> Iterator[Given]:
    """Yield how long each wind player who begins a chain holds it; someone holds it to its end."""
    told = next((given for given in later if not given[0].open), later[0])
    holding = {one.line: one for one in told}
    for place, given in enumerate(later[1:], 1):
        playing = {one.line for one in given}
        if given[0].open or not playing & holding.keys():
            continue
        for line in [line for line in holding if line not in playing]:
            yield holding.pop(line)._replace(last=place - 1)
    for one in holding.values():
        yield one._replace(last=len(later) - 1)
