"""One helper for writing elements."""

from lxml import etree


def child(parent: etree._Element, tag: str, text: str = "", **attributes: str) -> etree._Element:
    """Append an element and return it."""
    element = etree.SubElement(parent, tag, attributes)
    if text:
        element.text = text
    return element
