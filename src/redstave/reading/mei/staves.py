"""From MEI's `<scoreDef>` to parts, and from its clefs, keys and metres to MusicXML's."""

from collections.abc import Iterator
from fractions import Fraction

from lxml import etree

from redstave.reading.mei.values import Music, Part
from redstave.reading.numbers import whole
from redstave.reading.tiny.xml import child

Element = etree._Element
MANY_STAVES = 4  # more staves under one brace are a section, not one player's


def read_parts(music: Music, score_def: Element) -> None:
    """Take the parts and brackets that the first `<scoreDef>` announces."""
    for group in score_def.iterchildren("staffGrp"):
        _read_group(music, group)


def _read_group(music: Music, group: Element) -> None:
    first = len(music.parts)
    if _is_one_part(group):
        music.parts.append(_part(group, list(group.iterchildren("staffDef"))))
        return
    for element in group.iterchildren("staffDef", "staffGrp"):
        if element.tag == "staffGrp":
            _read_group(music, element)
        else:
            named = element if text_of(element, "label") else group
            music.parts.append(_part(named, [element]))
    symbol = _symbol(group)
    if symbol in ("bracket", "brace") and len(music.parts) > first + 1:
        music.groups.append((symbol, first, len(music.parts) - 1))


def _symbol(group: Element) -> str:
    """Return the sign before a group of staves, which stands in it or in a `<grpSym>`."""
    sign = group.find("grpSym")
    return group.get("symbol") or ("" if sign is None else sign.get("symbol")) or ""


def _is_one_part(group: Element) -> bool:
    staves = list(group.iterchildren("staffDef"))
    return (
        (_symbol(group) == "brace" or bool(text_of(group, "label")))
        and 1 < len(staves) <= MANY_STAVES
        and group.find("staffGrp") is None
        and not any(text_of(stave, "label") for stave in staves)
        and len({transposition(stave) for stave in staves}) == 1
    )


def _part(named: Element, staves: list[Element]) -> Part:
    numbers = tuple(stave.get("n") or "" for stave in staves)
    name = text_of(named, "label") or text_of(staves[0], "label")
    return Part(name, text_of(named, "labelAbbr"), numbers, transposition(staves[0]))


def text_of(element: Element, tag: str) -> str:
    """Return the text of the first child of that name, in one line."""
    found = element.find(tag)
    return "" if found is None else text_in(found)


def text_in(element: Element) -> str:
    """Return all text in an element, in one line."""
    return " ".join("".join(map(str, element.itertext())).split())


def transposition(stave: Element) -> tuple[int, int]:
    """Return the steps and semitones from written to sounding."""
    return whole(stave.get("trans.diat")) or 0, whole(stave.get("trans.semi")) or 0


def settings_of(definition: Element) -> Iterator[Element]:
    """Yield the clef, key and metre that a `<scoreDef>` or `<staffDef>` sets, as MusicXML's."""
    clef = definition.find("clef")
    if clef is not None:
        yield clef_of(clef.get("shape"), clef.get("line"), clef)
    elif definition.get("clef.shape"):
        yield clef_of(definition.get("clef.shape"), definition.get("clef.line"), definition)
    key = definition.find("keySig")
    said = definition.get("keysig") or definition.get("key.sig")
    if key is not None:
        said = key.get("sig")
    if said:
        yield key_of(said)
    meter = definition.find("meterSig")
    if meter is not None:
        yield meter_of(meter.get("count"), meter.get("unit"), meter.get("sym"))
    elif definition.get("meter.count") or definition.get("meter.sym"):
        count, unit = definition.get("meter.count"), definition.get("meter.unit")
        yield meter_of(count, unit, definition.get("meter.sym"))


def clef_of(shape: str | None, line: str | None, source: Element) -> Element:
    """Return a clef; "GG" is G an octave lower, "perc" has no line."""
    clef = etree.Element("clef")
    sign = {"perc": "percussion", "GG": "G"}.get(shape or "", shape or "G")
    child(clef, "sign", sign)
    if line and sign != "percussion":
        child(clef, "line", line)
    octaves = {"8": 1, "15": 2, "22": 3}.get(source.get("dis") or source.get("clef.dis") or "", 0)
    place = source.get("dis.place") or source.get("clef.dis.place")
    if shape == "GG":
        octaves, place = 1, "below"
    if octaves:
        child(clef, "clef-octave-change", str(-octaves if place == "below" else octaves))
    return clef


def key_of(said: str) -> Element:
    """Return a key from MEI's count of signs: "3f" is three flats."""
    key = etree.Element("key")
    number = whole(said.rstrip("sf")) or 0
    child(key, "fifths", str(-number if said.endswith("f") else number))
    return key


def meter_of(count: str | None, unit: str | None, symbol: str | None) -> Element:
    """Return a metre; a sign alone is 4/4 or 2/2."""
    time = etree.Element("time")
    usual = {"common": ("4", "4"), "cut": ("2", "2")}.get(symbol or "", ("4", "4"))
    if symbol in ("common", "cut"):
        time.set("symbol", symbol)
    child(time, "beats", count or usual[0])
    child(time, "beat-type", unit or usual[1])
    return time


def bar_length(time: Element) -> Fraction:
    """Return how long a bar of a metre is, in quarters; 4 if the metre is none."""
    beats = [whole(part) for part in (time.findtext("beats") or "").split("+")]
    unit = whole(time.findtext("beat-type"))
    if None in beats or not unit or unit < 0:
        return Fraction(4)
    return Fraction(4 * sum(beat or 0 for beat in beats), unit) or Fraction(4)
