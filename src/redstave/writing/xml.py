"""From elements to the bytes of an XML file."""

import re

from redstave.base.errors import InputError
from redstave.model.score import Attributes, Inner

INDENT = "  "
XML_SPACE = "http://www.w3.org/XML/1998/namespace"  # its prefix is xml, and needs no declaration
MARKUP = re.compile('[&<>"\t\n\r]')
ESCAPES = {
    "&": "&amp;",
    "<": "&lt;",
    ">": "&gt;",
    '"': "&quot;",
    "\t": "&#9;",
    "\n": "&#10;",
    "\r": "&#13;",
}
UNWRITABLE = re.compile("[^\t\n\r\x20-\ud7ff\ue000-\ufffd\U00010000-\U0010ffff]")  # XML 1.0, Char


def text_of(element: Inner, depth: int) -> str:
    """Return an element as text, on lines of its own at a depth of the document."""
    pieces: list[str] = []
    _write(element, "\n" + depth * INDENT, pieces)
    return "".join(pieces)


def to_bytes(text: str) -> bytes:
    """Return a document as UTF-8; InputError if it holds a character that XML cannot hold."""
    if unwritable := UNWRITABLE.search(text):
        raise InputError(
            f"The score holds the character U+{ord(unwritable[0]):04X} in a text, which no XML "
            "file can hold; take it out of the text."
        )
    return text.encode()


def _write(element: Inner, line: str, pieces: list[str]) -> None:
    """Add an element; `line` is the line break and indentation before it."""
    name, text, attributes, inside = element
    said = _said(attributes) if attributes else ""
    if name[0] == "{":
        space, _, name = name[1:].partition("}")
        name, said = f"x:{name}", f' xmlns:x="{escaped(space)}"{said}'
    if inside:
        pieces.append(f"{line}<{name}{said}>")
        _write_inside(inside, line, pieces)
        pieces.append(f"{line if inside[0].name else ''}</{name}>")
    elif text:
        pieces.append(f"{line}<{name}{said}>{escaped(text)}</{name}>")
    else:
        pieces.append(f"{line}<{name}{said}/>")


def _write_inside(inside: tuple[Inner, ...], line: str, pieces: list[str]) -> None:
    deeper = line + INDENT
    if not inside[0].name:  # bare text: any space beside it would be text too
        pieces.append(escaped(inside[0].text))
        inside, deeper = inside[1:], ""
    for child in inside:
        name, text, attributes, children = child
        if children or attributes or name[0] == "{":
            _write(child, deeper, pieces)
        elif text:  # most elements of a score are a name and a word
            if MARKUP.search(text):
                text = escaped(text)
            pieces.append(f"{deeper}<{name}>{text}</{name}>")
        else:
            pieces.append(f"{deeper}<{name}/>")


def _said(attributes: Attributes) -> str:
    said = ""
    for index, (name, value) in enumerate(dict(attributes).items()):  # none stands twice
        if name[0] == "{":
            space, _, name = name[1:].partition("}")
            prefix = "xml" if space == XML_SPACE else f"a{index}"
            if prefix != "xml":
                said += f' xmlns:{prefix}="{escaped(space)}"'
            name = f"{prefix}:{name}"
        said += f' {name}="{escaped(value)}"'
    return said


def escaped(text: str) -> str:
    """Return a text as it stands in XML, in an element or between double quotation marks."""
    if not MARKUP.search(text):
        return text
    return MARKUP.sub(lambda found: ESCAPES[found[0]], text)
