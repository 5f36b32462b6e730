"""The W3C's schema of MusicXML 4.0, for tests alone.

The file is the one that the package `musicxml` carries; it is the standard's own (W3C Music
Notation Community Group, under the W3C Community Final Specification Agreement). What it would
fetch from the network, the schemas of the xml and xlink attributes, is stood in for.
"""

from functools import cache
from importlib.util import find_spec
from pathlib import Path

import pytest
from lxml import etree

XS = "{http://www.w3.org/2001/XMLSchema}"


class Imports(etree.Resolver):
    """Stands in for the two schemas that the schema imports."""

    def resolve(self, system_url: str, _public_id: str, context: object) -> object:
        """Return attributes of any content in place of the imported ones."""
        if not system_url.endswith(("xlink.xsd", "xml.xsd")):
            return None
        space = "1999/xlink" if "xlink" in system_url else "XML/1998/namespace"
        names = ["href", "type", "role", "title", "show", "actuate", "lang", "space"]
        attributes = "".join(f'<xs:attribute name="{name}"/>' for name in names)
        return self.resolve_string(
            f'<xs:schema xmlns:xs="{XS[1:-1]}" targetNamespace="http://www.w3.org/{space}">'
            f"{attributes}</xs:schema>",
            context,
        )


@cache
def tree() -> etree._Element:
    """The schema's own XML; the test is skipped where the package is not installed."""
    found = find_spec("musicxml")
    if found is None or found.origin is None:
        pytest.skip("the package musicxml, which carries the schema, is not installed")
    parser = etree.XMLParser()
    parser.resolvers.add(Imports())
    path = Path(found.origin).parent / "generate_classes" / "musicxml_4_0.xsd"
    return etree.fromstring(path.read_bytes(), parser)


@cache
def schema() -> etree.XMLSchema:
    """The schema, ready to validate."""
    return etree.XMLSchema(tree())


def faults(document: etree._Element) -> list[str]:
    """What the schema finds wrong in a document, one sentence each."""
    rules = schema()
    rules.validate(document)
    return [entry.message for entry in rules.error_log]


def elements_with_id() -> frozenset[str]:
    """The names of all elements that may have an id, by the schema."""
    types = {one.get("name"): one for one in tree().iterchildren(f"{XS}complexType")}
    groups = {one.get("name"): one for one in tree().iterchildren(f"{XS}attributeGroup")}

    def has_id(definition: etree._Element) -> bool:
        used = [one.get("ref") for one in definition.iter(f"{XS}attributeGroup")]
        bases = [types.get(one.get("base")) for one in definition.iter(f"{XS}extension")]
        return (
            "optional-unique-id" in used
            or any(name in groups and has_id(groups[name]) for name in used)
            or any(base is not None and has_id(base) for base in bases)
        )

    named = {
        one.get("name")
        for one in tree().iter(f"{XS}element")
        if one.get("type") in types and has_id(types[one.get("type")])
    }
    return frozenset(name for name in named if name)
