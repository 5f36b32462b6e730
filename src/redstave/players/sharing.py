"""Who of several wind players on one stave has a note.

As many notes and rests as players: from the top, one each (four horns interlock: 1, 3, 2, 4). A
single line: those named by the last label; "a 2" is lost as soon as the parts diverge, a number as
soon as somebody else plays too. With no label in force, stems against the custom tell the upper
player from the lower; failing those the page is silent: the first player is assumed, and asked
about. Fewer notes than players, but more than one: the label's players share them, else the first
players are assumed, and asked about. A word that its own notes contradict ("a 2" over two notes,
"1." over a chord) is asked about, and the notes are dealt out as they stand.
"""

from bisect import bisect_right
from collections.abc import Mapping, Sequence, Set
from functools import cached_property, partial
from typing import NamedTuple

from redstave.model.score import Note, Part, Score
from redstave.players.labels import Label, Labels
from redstave.players.levels import AFTER_ALL
from redstave.players.page import is_played
from redstave.players.stems import lone_sides
from redstave.players.texture import Stand, Texture, height

NO_LABELS = Labels()
TOLD = ""
UNLABELLED = "single-line-unlabelled"
CHORD_UNLABELLED = "chord-unlabelled"
TOO_MANY = "more-notes-than-players"
CONTRADICTED = "label-contradicted"


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
        self._lost: dict[tuple[int, int, bool], int] = {}  # when labels are: see _broken
        self._told = {stave: Labels(found) for stave, found in told.items()}
        self._order = tuple(order)
        self._mixed = mixed
        self._alone = tuple(Who((player,)) for player in range(len(self._order)))
        self._lone = partial(lone_sides, score, part, counted)
        self._struck = struck_at(
            score, part, {(stave, one.tick) for stave, found in told.items() for one in found}
        )

    def who(self, note: Note, tick: int) -> Who:
        """Return who plays a note that starts at `tick`."""
        stand = self._counted.stands.get(note.id)
        if stand is None or stand.total == 1:
            return self._single(note, tick)
        told = self._told.get(note.stave, NO_LABELS)
        who = self._among(stand, told, tick)
        labelled = self._struck and (note.stave, tick) in self._struck and not who.open
        if labelled and self._contradicted(note, stand, who, told.printed(tick)):
            return who._replace(open=CONTRADICTED)
        return who

    @cached_property
    def _sides(self) -> Mapping[str, int]:
        """What stems tell of lone lines; asked for only where no label does."""
        return self._lone() if len(self._order) == 2 else {}

    def _contradicted(self, note: Note, stand: Stand, who: Who, label: Label | None) -> bool:
        """Whether a word printed with this note cannot be true of what stands there."""
        if label is None or not label.told:
            return False
        if label.kind == "count":
            struck = self._struck[note.stave, label.tick]
            return len(set(struck)) > 1 or len(struck) < stand.total
        beside = stand.voices - 1 if label.side == "below" else 0
        if stand.played > 1 and stand.rank != beside:
            return False
        others = label.kind == "number" and set(who.players).isdisjoint(label.players)
        return others or stand.chord > len(label.players)

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
        """Whether a label has been lost: someone else has played, or they have parted."""
        everyone = len(label.players) == len(self._order)
        asked = stave, label.tick, everyone
        lost = self._lost.get(asked)
        if lost is None:
            ticks = (self._counted.parted if everyone else self._counted.together).get(stave, ())
            index = bisect_right(ticks, label.tick)
            lost = self._lost[asked] = ticks[index] if index < len(ticks) else AFTER_ALL
        return lost < tick

    def _among(self, stand: Stand, told: Labels, tick: int) -> Who:
        """Return who has one of several notes."""
        players, order = len(self._order), self._order
        if stand.total == players:
            return self._alone[order[stand.before + stand.place]]
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


def struck_at(
    score: Score, part: Part, wanted: Set[tuple[int, int]]
) -> dict[tuple[int, int], list[float]]:
    """Return the heights of the notes that begin at some places: stave and tick."""
    found: dict[tuple[int, int], list[float]] = {place: [] for place in wanted}
    bars = {score.bar_at(tick) for _, tick in wanted}
    for note in part.notes:
        if note.bar in bars and is_played(note) and not note.grace:
            place = note.stave, score.bars[note.bar].start + note.offset
            if place in found:
                found[place].append(height(note))
    return found


def _dealt(players: Sequence[int], place: int, notes: int, told: bool) -> Who:
    """Deal players out to the notes of a chord, from the top; it is open when they do not fit."""
    share, left = divmod(len(players), notes)
    if not share:
        return Who((players[min(place, len(players) - 1)],), TOO_MANY)
    start = place * share + max(0, place - (notes - left))
    stop = start + share + (place >= notes - left)
    return Who(tuple(players[start:stop]), TOLD if told and not left else CHORD_UNLABELLED)
