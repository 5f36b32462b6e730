"""How XML is parsed here: nothing is fetched, nothing is expanded, depth and size stay bounded."""

import re
from math import lcm
from typing import Any, NamedTuple, TypedDict, cast

from lxml import etree

from redstave.base.errors import InputError
from redstave.reading.numbers import exact


class ParserOptions(TypedDict):
    """The options of every XML parser in this room."""

    resolve_entities: bool
    no_network: bool
    load_dtd: bool
    huge_tree: bool


PARSER_OPTIONS: ParserOptions = {
    "resolve_entities": False,
    "no_network": True,
    "load_dtd": False,
    "huge_tree": False,
}
KNOWN_ROOTS = {
    "opus": "a list of scores (MusicXML opus); give one of its scores",
    "html": "a web page; give the MusicXML file itself",
    "svg": "a picture (SVG); export the score as MusicXML",
    "container": "the table of contents of a compressed score; give the whole .mxl file",
}
DIVISIONS = re.compile(rb"divisions(?:\s[^<>]{0,200})?>\s*([^<\s]+)")  # of a closing tag, nothing
FIRST_BYTES = 4096
# Encodings in which the characters of XML's own signs are those of ASCII, among other bytes or not.
ENCODINGS = re.compile(r"utf-?(8|16)(le|be)?|us-ascii|ascii|iso-8859-\d+|windows-125\d", re.I)
ENTITY = re.compile(rb"&\0?(?!\0?(?:amp|lt|gt|apos|quot|#))")
ATTRIBUTES_LIMIT = 100  # of one element; MusicXML has none with half as many
SHORTEST = 5  # bytes of an attribute: a=""
TICKS_LIMIT = 10_000_000


class Root(NamedTuple):
    """The root element of a score: `timewise` bars hold parts; `namespace` is "" or its URI."""

    timewise: bool
    namespace: str


def find_root(data: bytes, name: str) -> Root:
    """Return the root of a MusicXML file; InputError says what the file is instead.

    Also where an element of it has attributes without end.
    """
    refuse_crowds(data, name)
    return root_of(data, name)


def root_of(data: bytes, name: str) -> Root:
    """Return the root of a MusicXML file, as `find_root` does; nothing else is looked at."""
    element = _root_element(data, name)
    encoding = element.getroottree().docinfo.encoding or "utf-8"
    if not ENCODINGS.fullmatch(encoding):
        raise InputError(f"{name} is written in {encoding!r}; export it again in UTF-8.")
    subset: Any = element.getroottree().docinfo.internalDTD
    if subset is not None and subset.entities():
        raise InputError(f"{name} declares entities of its own, which no score needs; refused.")
    namespace, _, tag = str(element.tag).rpartition("}")
    if tag in ("score-partwise", "score-timewise"):
        return Root(tag == "score-timewise", namespace.lstrip("{"))
    what = KNOWN_ROOTS.get(tag, f"XML that begins with <{tag}>")
    raise InputError(f"{name} is {what}; MusicXML begins with <score-partwise>.")


def root_name(data: bytes) -> str:
    """Return the name of the root element without its namespace, "" if there is none."""
    try:
        return str(_root_element(data, "").tag).rpartition("}")[2]
    except InputError:
        return ""


def _root_element(data: bytes, name: str) -> etree._Element:
    parser = etree.XMLPullParser(events=("start",), **PARSER_OPTIONS)
    try:
        for begin in range(0, len(data), FIRST_BYTES):
            refuse_crowds(data, name, begin, begin + FIRST_BYTES)
            parser.feed(data[begin : begin + FIRST_BYTES])
            for _, element in parser.read_events():
                return cast(etree._Element, element)
        parser.close()
    except etree.XMLSyntaxError as error:
        raise syntax_error(error, name) from error
    raise InputError(f"{name} holds no XML element; export the score again as MusicXML.")


def syntax_error(error: etree.XMLSyntaxError, name: str) -> InputError:
    """Return the one sentence for a file that is not well-formed XML."""
    message = " ".join((error.msg or "unknown error").split()).rstrip(".")
    if message.startswith("Start tag expected") and error.lineno == 1:
        return InputError(
            f"{name} is no MusicXML; export the score as MusicXML (.musicxml or .mxl)."
        )
    if "XML_PARSE_HUGE" in message:
        return InputError(
            f"{name} is nested more deeply or holds longer texts than any score does."
        )
    return InputError(
        f"{name} is not well-formed XML: {message}. Export it again from the notation program."
    )


def refuse_crowds(data: bytes, name: str, start: int = 0, end: int | None = None) -> None:
    """Raise InputError if an element that begins within these bounds has attributes without end.

    The parser looks through all attributes of an element for each of them, so their time grows with
    the square. From one "<" to the next there is one element and its text; stretches too short to
    hold too many attributes are leapt over.
    """
    leap = ATTRIBUTES_LIMIT * SHORTEST
    bound = len(data) if end is None else end
    start = data.find(b"<", start)
    while 0 <= start < bound:
        last = data.rfind(b"<", start + 1, start + leap)
        if last < 0:
            last = data.find(b"<", start + 1)
            if data.count(b"=", start, last if last >= 0 else None) > ATTRIBUTES_LIMIT:
                raise InputError(
                    f"{name} has an element with more than {ATTRIBUTES_LIMIT} attributes; "
                    "no score does."
                )
        start = last


def may_hold_entities(data: bytes) -> bool:
    """Tell whether a file may name entities that only a document type could declare."""
    return b"&" in data and ENTITY.search(data) is not None


def ticks_per_quarter(data: bytes) -> int:
    """Return the smallest number of ticks in which every duration of the file is whole.

    The least common multiple of all `<divisions>`; if that passes TICKS_LIMIT, the largest multiple
    found below it, and the reader reports each duration that it has to round.
    """
    ticks = 1
    for number in sorted(_divisions(data)):
        if lcm(ticks, number) <= TICKS_LIMIT:
            ticks = lcm(ticks, number)
    return ticks


def _divisions(data: bytes) -> set[int]:
    # In UTF-16 every other byte of these characters is 0.
    plain = data.replace(b"\0", b"") if data[:2] in (b"\xff\xfe", b"\xfe\xff") else data
    texts = {text.decode("latin-1") for text in set(DIVISIONS.findall(plain))}
    numbers = [exact(text) for text in texts]
    return {number.numerator for number in numbers if number is not None and number > 0}
