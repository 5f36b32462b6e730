"""Who of several wind players on one stave has a note.

As many notes and rests as players: from the top, one each (four horns interlock: 1, 3, 2, 4). A
single line: those named by the last label; "a 2" is lost as soon as the parts diverge, a number as
soon as somebody else plays too. With no label in force, stems against the custom tell the upper
player from the lower; failing those the page is silent: the first player is assumed, and asked
about. Fewer notes than players, but more than one: the label's players share them, else the first
players are assumed, and asked about.
"""

from collections.abc import Mapping, Sequence
from typing import NamedTuple

from redstave.model.score import Note, Part, Score
from redstave.players.labels import Label, Labels
from redstave.players.stems import lone_sides
from redstave.players.texture import Stand, Texture, any_between

NO_LABELS = Labels()
TOLD = ""
UNLABELLED = "single-line-unlabelled"
CHORD_UNLABELLED = "chord-unlabelled"
TOO_MANY = "more-notes-than-players"


class Who(NamedTuple):
    """The players (from 0) who have a note; `open` is the code of the question it leaves, or ""."""

    players: tuple[int, ...]
    open: str = TOLD


class Desks:
    """The players of one shared stave and what the page tells them.

    `order` gives the players of a full chord from the top; `mixed` is true where players of two
    instruments share the stave: an unlabelled single line is then read as everyone's, and the
    lowest of too few notes as the last player's.
    """

    def __init__(
        self,
        score: Score,
        part: Part,
        counted: Texture,
        told: Mapping[int, Sequence[Label]],
        order: Sequence[int],
        mixed: bool = False,
    ) -> None:
        self._counted = counted
        self._told = {stave: Labels(found) for stave, found in told.items()}
        self._order = tuple(order)
        self._mixed = mixed
        self._alone = tuple(Who((player,)) for player in range(len(self._order)))
        self._sides = lone_sides(score, part, counted) if len(order) == 2 else {}

    def who(self, note: Note, tick: int) -> Who:
        """Return who plays a note that starts at `tick`."""
        stand = self._counted.stand(note)
        if stand.total == 1:
            return self._single(note, tick)
        return self._among(stand, self._told.get(note.stave, NO_LABELS), tick)

    def _single(self, note: Note, tick: int) -> Who:
        label = self._told.get(note.stave, NO_LABELS).at(tick)
        if label is not None and label.told and not self._broken(label, note.stave, tick):
            return Who(label.players)
        side = self._sides.get(note.id, 0)
        if side:
            return Who((self._order[0 if side > 0 else -1],))
        if label is None or len(label.players) == len(self._order):
            return Who(self._order if self._mixed else (0,), UNLABELLED)
        return Who(label.players, UNLABELLED)

    def _broken(self, label: Label, stave: int, tick: int) -> bool:
        everyone = len(label.players) == len(self._order)
        ticks = self._counted.parted if everyone else self._counted.together
        return any_between(ticks.get(stave, ()), label.tick + 1, tick)

    def _among(self, stand: Stand, told: Labels, tick: int) -> Who:
        """Return who has one of several notes."""
        players, order = len(self._order), self._order
        if stand.total == players:
            return self._alone[order[stand.position]]
        if stand.total > players:
            return Who((order[min(stand.position, players - 1)],), TOO_MANY)
        if stand.voices > 1 and (beside := self._beside(stand, told, tick)):
            return _dealt(beside.players, stand.place, stand.chord, beside.told)
        label = told.at(tick)
        if label is not None and label.told and len(label.players) == stand.total:
            return Who((label.players[stand.position],))
        if label is not None and len(label.players) * (1 if label.told else stand.total) == players:
            return _dealt(order, stand.position, stand.total, True)
        lowest = self._mixed and stand.position == stand.total - 1
        return Who((order[-1 if lowest else stand.position],), CHORD_UNLABELLED)

    def _beside(self, stand: Stand, told: Labels, tick: int) -> Label | None:
        """Return the label beside the note's voice: above the upper one, below the lowest.

        With a label above only, the lower voice is for the players it does not name.
        """
        above = told.beside(tick, "above")
        if stand.rank == 0 or above is None:
            return above if stand.rank == 0 else None
        below = told.beside(tick, "below") if stand.rank == stand.voices - 1 else None
        others = tuple(player for player in self._order if player not in above.players)
        return below or (Label(tick, others, told=False) if others else None)

    def voice(self, before: int, size: int, total: int) -> tuple[int, ...] | None:
        """Return the players of a voice that has `before` notes above it; None if open."""
        if total != len(self._order):
            return None
        return self._order[before : before + size]


def _dealt(players: Sequence[int], place: int, notes: int, told: bool) -> Who:
    """Deal players out to the notes of a chord, from the top; it is open when they do not fit."""
    share, left = divmod(len(players), notes)
    if not share:
        return Who((players[min(place, len(players) - 1)],), TOO_MANY)
    start = place * share + max(0, place - (notes - left))
    stop = start + share + (place >= notes - left)
    return Who(tuple(players[start:stop]), TOLD if told and not left else CHORD_UNLABELLED)
