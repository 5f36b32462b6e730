"""A file without its maker's name: what is read blind shows nothing of who wrote it.

Only texts change, and each keeps its line breaks: every element stays at its line and path, so that
places found in the blind file are places of the file that was sent.
"""

import re
from collections.abc import Collection, Iterator
from io import BytesIO
from typing import Any

from lxml import etree

from redstave.reading.parser import PARSER_OPTIONS, find_root, syntax_error

SEALED = "(sealed)"
#: Elements whose text may say who made the file, or when.
TELLING = (
    "creator", "rights", "source", "relation", "encoder", "encoding-description", "encoding-date",
    "miscellaneous-field", "player-name", "credit-words",
)  # fmt: skip
TITLES = ("work-title", "movement-title")
NUMBERS = ("work-number", "movement-number", "opus")
#: Elements on the page in which a name may be written as well.
WORDS = ("words", "part-name", "part-abbreviation", "display-text", "footnote", "instrument-name")
LEAST_NAME = 4  # letters; a shorter word is too common to be looked for on the page
_WORD = re.compile(r"[^\W\d_]+(?:[-'’][^\W\d_]+)*")


def blind(xml: bytes, name: str, title: str, keep: Collection[str] = ()) -> bytes:
    """Return MusicXML in which nobody is named; `title` stands where the piece's title stood.

    Texts in `keep` (the composer of the set piece) stay. Comments and processing instructions are
    emptied. Makers' names are also looked for in the words on the page. InputError as in reading.
    """
    root = _root(xml, name)
    names = _names(root, keep)
    for element in root.iter():
        if not isinstance(element.tag, str):
            element.text = _breaks(element.text) if element.text else None
            continue
        tag = etree.QName(element).localname
        if tag in TITLES and (element.text or "").strip():
            element.text = title + _breaks(element.text)
        elif tag in TELLING and (element.text or "").strip() not in {"", *keep}:
            element.text = _instead(element, title) + _breaks(element.text)
        elif tag in WORDS and names and element.text:
            element.text = names.sub(SEALED, element.text)
    written = etree.tostring(root, encoding="utf-8", with_tail=False, xml_declaration=False)
    return _head(root, written) + written


def said_of_makers(xml: bytes, name: str) -> frozenset[str]:
    """Return what a file says of its makers: the texts that a blind file of it would not show."""
    made = _root(xml, name).iter("{*}creator", "{*}credit-words")
    texts = ((one.text or "").strip() for one in made)
    return frozenset(filter(None, texts))


def _root(xml: bytes, name: str) -> etree._Element:
    find_root(xml, name)
    try:
        return etree.fromstring(xml, etree.XMLParser(**PARSER_OPTIONS))
    except etree.XMLSyntaxError as error:
        raise syntax_error(error, name) from error


def _head(root: etree._Element, written: bytes) -> bytes:
    """Return what stands before the root: as many lines as there were, and nothing in them."""
    declaration = b"<?xml version='1.0' encoding='UTF-8'?>"
    first = next(iter(root), None)
    if first is None:
        return declaration
    begun = etree.iterparse(BytesIO(written), events=("start",), **PARSER_OPTIONS)
    now = next(_line(one) for _, one in begun if one.getparent() is not None)
    return declaration + b"\n" * max(0, _line(first) - now)


def _line(element: Any) -> int:
    return int(element.sourceline or 0)


def _instead(element: etree._Element, title: str) -> str:
    """Return what stands in the place of a telling text: a title stays one."""
    kinds = [(kind.text or "").strip() for kind in element.itersiblings("{*}credit-type")]
    kinds += [
        (kind.text or "").strip() for kind in element.itersiblings("{*}credit-type", preceding=True)
    ]
    return title if "title" in kinds else SEALED


def _names(root: etree._Element, keep: Collection[str]) -> re.Pattern[str] | None:
    """Return a pattern of the makers' names, whole and word by word, None where nobody is named."""
    kept = {word for text in keep for word in _WORD.findall(text)}
    found = {
        word
        for text in _makers(root)
        if text not in keep
        for word in _WORD.findall(text)
        if len(word) >= LEAST_NAME and word[0].isupper() and word not in kept
    }
    if not found:
        return None
    words = "|".join(map(re.escape, sorted(found, key=len, reverse=True)))
    return re.compile(rf"\b(?:{words})\b")


def _makers(root: etree._Element) -> Iterator[str]:
    for element in root.iter("{*}creator", "{*}player-name", "{*}encoder"):
        if (element.text or "").strip():
            yield (element.text or "").strip()


def _breaks(text: str | None) -> str:
    return "\n" * (text or "").count("\n")
