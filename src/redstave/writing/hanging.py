"""What hangs on a note: notations in their families, then lyrics and playback."""

from collections.abc import Iterator, Sequence
from itertools import groupby

from redstave.model.score import Inner, Note
from redstave.writing.entries import BEHIND, End, Entry
from redstave.writing.ids import Ids
from redstave.writing.pieces import Piece, pieces

FAMILIES = {
    "articulation": "articulations",
    "breath": "articulations",
    "ornament": "ornaments",
    "tremolo": "ornaments",
    "technical": "technical",
}
AT_THE_END = {"lyric": 1, "play": 2, "listen": 3}
OF_THE_NOTE = 2  # steps of the path of what stands in the note itself


def hanging(entry: Entry, note: Note, ids: Ids) -> Iterator[Inner]:
    """Yield what hangs on a note, in the order of MusicXML 4.0."""
    found = pieces(entry.marks, [end for end in entry.ends if _is_printed(end)], ids)
    notations = [piece for piece in found if piece.element.name not in AT_THE_END]
    yield from _notations(notations, note)
    last = [piece.element for piece in found if piece.element.name in AT_THE_END]
    yield from sorted(last, key=lambda element: AT_THE_END[element.name])


def _is_printed(end: End) -> bool:
    """Tell whether an end is printed; a tie of playback alone stands in the note itself."""
    return end.of.kind != "tie" or end.at.path.count(".") + 1 != OF_THE_NOTE


def _notations(found: Sequence[Piece], note: Note) -> Iterator[Inner]:
    held = tuple(one for one in note.inside if one.name == "tied")
    ringing = (Inner("tied", "", (("type", "let-ring"),)),) if note.let_ring else ()
    own = held or ringing
    for _, group in groupby(found, key=_which_notations):
        together = list(group)
        if len(together[0].path) == OF_THE_NOTE:
            yield together[0].element
            continue
        inside = (*own, *_families(together))
        own = ()
        yield Inner("notations", "", together[0].around("notations"), inside)
    if own:
        yield Inner("notations", "", (), own)


def _which_notations(piece: Piece) -> int:
    """Return which `<notations>` of the note the piece stands in; what has no path shares one."""
    return piece.path[1] if len(piece.path) > 1 else piece.path[0]


def _families(found: Sequence[Piece]) -> Iterator[Inner]:
    for (family, _), group in groupby(found, key=_which_family):
        elements = tuple(piece.element for piece in group)
        if family:
            yield Inner(family, "", (), elements)
        else:
            yield from elements


def _which_family(piece: Piece) -> tuple[str, tuple[int, ...]]:
    """Return the family of a piece ("" for none), and which element of that name holds it."""
    if piece.mark is not None:
        family = FAMILIES.get(piece.mark.kind, "")
        if ("element", "other-articulation") in piece.mark.attributes:
            family = "articulations"  # an ornament that the file has as an articulation
    else:
        kind = piece.end.of.kind if piece.end is not None else ""
        family = "ornaments" if kind in ("wavy-line", "tremolo") else ""
    return family, piece.path[:3] if family and piece.path != BEHIND else ()
