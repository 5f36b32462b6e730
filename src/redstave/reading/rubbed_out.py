"""A page without some of the words on it: each stays as an element, with nothing in it.

So every other element keeps its line and path.
"""

from collections.abc import Callable, Mapping

from lxml import etree

from redstave.reading.parser import PARSER_OPTIONS, find_root

#: Tells by its attributes and its text whether a `words` element is to go.
Wanted = Callable[[Mapping[str, str], str], bool]


def rubbed_out(xml: bytes, name: str, wanted: Wanted) -> bytes:
    """Return MusicXML without the words that are wanted out; unchanged where there are none.

    InputError if the XML is damaged.
    """
    find_root(xml, name)
    tree = etree.ElementTree(etree.fromstring(xml, etree.XMLParser(**PARSER_OPTIONS)))
    gone = [
        words
        for words in tree.iter("{*}words")
        if wanted({str(key): str(value) for key, value in words.attrib.items()}, words.text or "")
    ]
    if not gone:
        return xml
    for words in gone:
        words.text = "\n" * (words.text or "").count("\n")
    written: bytes = etree.tostring(tree, encoding="utf-8", xml_declaration=True)
    return written
