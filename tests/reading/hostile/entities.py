"""Entities, document types and references outwards: nothing may be fetched or expanded."""

from collections.abc import Iterator

from tests.reading.hostile.case import PLAIN, Case, refused, sound

SECRET = "the-words-of-a-secret-file"
BODY = PLAIN.decode()


def with_doctype(doctype: str, said: str = "", old: str = "<part-name>P1<") -> bytes:
    """Return the plain file behind a document type, its part named by what is said."""
    return (doctype + BODY.replace(old, f"<part-name>{said or 'P1'}<", 1)).encode()


def cases(secret_path: str, address: str) -> Iterator[Case]:
    """Yield the cases; the secret must not be read and nothing be asked of the address."""
    for name, where in (("file", f"file://{secret_path}"), ("http", f"{address}/entity")):
        doctype = f'<!DOCTYPE score-partwise [<!ENTITY x SYSTEM "{where}">]>'
        yield refused(f"external entity, {name}", with_doctype(doctype, "&x;"), "entities")
        doctype = f'<!DOCTYPE score-partwise [<!ENTITY % x SYSTEM "{where}"> %x;]>'
        yield refused(f"parameter entity, {name}", with_doctype(doctype), "entities")
        yield sound(
            f"external document type, {name}",
            with_doctype(f'<!DOCTYPE score-partwise SYSTEM "{where}">'),
        )
        include = f'<xi:include xmlns:xi="http://www.w3.org/2001/XInclude" href="{where}"/>'
        yield sound(f"XInclude, {name}", BODY.replace("</note>", f"{include}</note>").encode())
        sheet = f'<?xml-stylesheet href="{where}" type="text/xsl"?>'
        yield sound(f"style sheet, {name}", (sheet + BODY).encode())
        place = f'<score-partwise xsi:noNamespaceSchemaLocation="{where}" '
        place += 'xmlns:xsi="http://www.w3.org/2001/XMLSchema-instance" '
        yield sound(f"schema, {name}", BODY.replace("<score-partwise ", place).encode())
    yield sound(
        "the usual public document type",
        with_doctype(
            '<!DOCTYPE score-partwise PUBLIC "-//Recordare//DTD MusicXML 4.0 Partwise//EN" '
            '"http://www.musicxml.org/dtds/partwise.dtd">'
        ),
    )
    yield refused(
        "undeclared entity", with_doctype("<!DOCTYPE score-partwise>", "&flute;"), "well-formed"
    )
    yield Case(
        "entity of a document type that is not fetched",
        with_doctype(f'<!DOCTYPE score-partwise SYSTEM "{address}/x.dtd">', "&flute;"),
        problem="unknown-entity",
        notes=1,
    )
    yield from _bombs()


def _bombs() -> Iterator[Case]:
    laughs = "".join(
        f'<!ENTITY l{n} "{f"&l{n - 1};" * 10}">' if n else '<!ENTITY l0 "ha">' for n in range(10)
    )
    doctype = f"<!DOCTYPE score-partwise [{laughs}]>"
    yield refused("a billion laughs", with_doctype(doctype, "&l9;"), "entity amplification")
    doctype = "<!DOCTYPE score-partwise [<!ENTITY unused 'x'>]>"
    yield refused("a harmless entity", with_doctype(doctype), "entities")
    doctype = f'<!DOCTYPE score-partwise [<!ENTITY x "{"x" * 100_000}">]>'
    yield refused(
        "quadratic blow-up", with_doctype(doctype, "&x;" * 10_000), "entity amplification"
    )
    doctype = '<!DOCTYPE score-partwise [<!ENTITY x "&y;"><!ENTITY y "&x;">]>'
    yield refused("entities in a circle", with_doctype(doctype, "&x;"), "entity")
    doctype = '<!DOCTYPE score-partwise [<!ATTLIST note x CDATA "y">]>'
    yield sound("declared attributes", with_doctype(doctype))
