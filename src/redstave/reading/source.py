"""The text of a file beside its tree: where each note and direction of a bar stands.

Most notes of a score say what some note before them said, but for a few words and for where they
are drawn, and asking the parser for each child of each note is what takes a reader's time. So each
text is read once, and the parser is spared the others: it is given the file without those notes,
without what stood beside notes before, and without the bars that hold nothing else. Their line
breaks are left, so that every line keeps its number.

Texts are cut out of the file's bytes by looking for tags. That is sure only where every "<" begins
a tag of the tree, a text means the same wherever it stands, and notes and directions stand side by
side in their bars. Where that turns out not to be so, `UnsureError` is raised, and the tree alone
has to be read. Three things make it turn out: here, what could hide a tag or give a text another
meaning is looked for; the bars of the tree must hold as many notes and directions as were left
there; and the parser has seen every text once, with every tag that is in it, so that what is not
well-formed is found.
"""

import re
from collections.abc import Iterator

from redstave.base.errors import InputError
from redstave.reading.cut import NO_TAG, BarText, PartText, UnsureError
from redstave.reading.parser import refuse_crowds
from redstave.reading.steps import BETWEEN, SIGN
from redstave.reading.texts import Texts

# What may stand before the root: a byte-order mark, the declaration, comments, the usual doctype.
# A document type with declarations of its own could give elements attributes that no tag shows.
_PROLOGUE = re.compile(
    rb"(?:\xef\xbb\xbf)?\s*(?:<\?xml\s[^>]*\?>)?(?:(?>\s*<!--.*?-->)|\s*<!DOCTYPE[^\[<>]*>)*+\s*"
    rb"(?=<score-partwise[\s>])",
    re.DOTALL,
)
_COMMENTED = re.compile(rb"(?:-?[\t\n\r -,.-~])*+")  # no "--", and no byte that XML might refuse
_OF_PLACE = re.compile(rb"xmlns|xml:id")  # what makes a text mean something else where it stands
_END_OF_PART = b"</part>"
PIECE = 32_768  # bytes


class Source:
    """A file cut into its bars part by part, while the parser reads what is left to it."""

    def __init__(self, data: bytes) -> None:
        prologue = _PROLOGUE.match(data)
        if prologue is None or BETWEEN.encode() in data or SIGN.encode() in data:
            raise UnsureError
        self._root = data.find(b">", prologue.end())
        self._data = _without_comments(data, prologue.end())
        self._texts = Texts()
        self._bars: list[list[list[BarText]]] = []  # of the parts that have been cut
        self._left = self._cut()

    def read(self, _size: int) -> bytes:
        """Return what comes next of what is left to the parser, as a file does."""
        return next(self._left, b"")

    def next_part(self) -> Iterator[list[BarText]]:
        """Return the bars of the next part that stand in the tree, with those they stand for."""
        if not self._bars:
            raise UnsureError
        return iter(self._bars.pop(0))

    def _cut(self) -> Iterator[bytes]:
        data, place, begin = self._data, 0, self._root
        view = memoryview(data)
        while (end := data.find(_END_OF_PART, place)) >= 0:
            # Each byte becomes a character: what is not ASCII is only handed on.
            part = PartText(str(view[place:end], "latin-1"), self._texts)
            self._bars.append(part.bars)
            yield from _pieces(part.left.encode("latin-1") + _END_OF_PART, begin)
            place, begin = end + len(_END_OF_PART), 0
        if data.find(b"</note>", place) >= 0:
            raise UnsureError
        yield from _pieces(data[place:], begin)


def _pieces(text: bytes, begin: int) -> Iterator[bytes]:
    """Yield a text in pieces, so that the parser need not hold all of it at once."""
    if b"xml" in text and _OF_PLACE.search(text, begin):
        raise UnsureError
    try:
        refuse_crowds(text, "")
    except InputError as error:
        raise UnsureError from error
    for place in range(0, len(text), PIECE):
        yield text[place : place + PIECE]


def _without_comments(data: bytes, root: int) -> bytes:
    """Return a file whose comments are a mark and their line breaks."""
    plain = data
    if _tags(data, b"!", root):
        first, *others = data[root:].split(b"<!--")
        plain = data[:root] + first + b"".join(map(_uncommented, others))
        if _tags(plain, b"!", root) != plain.count(NO_TAG.encode(), root):
            raise UnsureError
    if _tags(plain, b"?", root):
        raise UnsureError
    return plain


def _uncommented(text: bytes) -> bytes:
    """Return a text that begins inside a comment with a mark instead of it."""
    comment, end, rest = text.partition(b"-->")
    if not end or not _COMMENTED.fullmatch(comment):
        raise UnsureError
    return NO_TAG.encode() + b"\n" * comment.count(b"\n") + rest


def _tags(data: bytes, sign: bytes, begin: int) -> int:
    """Count the tags from a place on that begin with a sign, one that is rare elsewhere."""
    found = 0
    while (begin := data.find(sign, begin + 1)) >= 0:
        found += data[begin - 1 : begin] == b"<"
    return found
