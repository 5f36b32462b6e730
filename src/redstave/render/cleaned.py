"""An excerpt made fit for a page of the desk: only what a drawing may hold is left in it.

A letter forbids scripts altogether; a page of the desk has scripts of its own, and words of a
stranger's score must never become anything but words there.
"""

from lxml import etree

from redstave.render.systems.allowed import keep_allowed


def cleaned(svg: str) -> str:
    """Return inline SVG of ours with whatever is not allowed in a drawing taken out."""
    parser = etree.XMLParser(resolve_entities=False, no_network=True, huge_tree=True)
    root = etree.fromstring(svg, parser)
    keep_allowed(root)
    return str(etree.tostring(root, encoding="unicode"))
