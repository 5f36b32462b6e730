"""What stands above or below the stave: `<direction>` and `<sound>`."""

from collections.abc import Iterator, Sequence
from itertools import groupby

from redstave.model.score import Attributes, Inner
from redstave.writing.entries import BEHIND, Entry
from redstave.writing.ids import Ids
from redstave.writing.pieces import Piece, pieces

PLAYBACK = ("sound", "instrument-change", "listening")
OF_THE_DIRECTION = 2  # steps of the path of what stands in the direction itself


def direction(entry: Entry, ids: Ids, shift: int, has_staves: bool) -> Inner:
    """Return a direction that is read `shift` ticks from where it stands in its bar."""
    found = pieces(entry.marks, entry.ends, ids)
    said = [piece for piece in found if not _is_beside(piece)]
    beside = [piece for piece in found if _is_beside(piece)]
    stave = entry.stave
    children = (
        *_types(said),
        *((Inner("offset", str(shift)),) if shift else ()),
        *(piece.element for piece in beside if piece.element.name not in PLAYBACK),
        *((Inner("voice", entry.voice),) if entry.voice else ()),
        *((Inner("staff", str(stave)),) if has_staves or stave > 1 else ()),
        *sounds(beside),
        *(piece.element for piece in beside if piece.element.name == "listening"),
    )
    return Inner("direction", "", _attributes(found), children)


def sounds(found: Sequence[Piece]) -> Iterator[Inner]:
    """Yield the `<sound>` elements among the pieces; the change of an instrument stands in one."""
    held: list[Inner] = []
    sounding: tuple[int, ...] = ()
    for piece in found:
        element = piece.element
        if element.name == "sound":
            sounding = piece.path
            inside = tuple(one for one in element.inside if one.name != "offset")
            yield element._replace(inside=inside)
        elif element.name == "instrument-change" and piece.path[:-1] != sounding:
            held.append(element)
    if held:
        yield Inner("sound", "", (), tuple(held))


def _is_beside(piece: Piece) -> bool:
    """Tell whether a piece stands beside the printed contents of its direction."""
    return piece.element.name in PLAYBACK or len(piece.path) == OF_THE_DIRECTION


def _types(said: Sequence[Piece]) -> Iterator[Inner]:
    for step, group in groupby(said, key=_which_type):
        elements = [piece.element for piece in group]
        if step == BEHIND:
            yield from (Inner("direction-type", "", (), (element,)) for element in elements)
        else:
            yield Inner("direction-type", "", (), tuple(elements))


def _which_type(piece: Piece) -> tuple[int, ...]:
    return piece.path[:2] if len(piece.path) > 1 else BEHIND


def _attributes(found: Sequence[Piece]) -> Attributes:
    for piece in found:
        placement = _placement(piece)
        if placement:
            break
    else:
        placement = ""
    others = tuple(item for item in found[0].around("direction") if item[0] != "placement")
    return ((("placement", placement),) if placement else ()) + others


def _placement(piece: Piece) -> str:
    """Return the placement of the direction around a piece, "" if the piece has its own."""
    if piece.mark is not None:
        own, placement = piece.mark.attributes, piece.mark.placement
    elif piece.end is not None and piece.end.starts:
        own, placement = piece.end.of.attributes, piece.end.of.placement
    else:
        return dict(piece.around("direction")).get("placement", "")
    return "" if any(name == "placement" for name, _ in own) else placement
