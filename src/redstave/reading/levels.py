"""Levels: `<dynamics>` with all its children in order, and levels drawn as characters in words."""

from redstave.reading.element import Element, line_of
from redstave.reading.keep import content
from redstave.reading.keeper import Keeper, Place
from redstave.reading.numbers import clean

# SMuFL 1.4, range "Dynamics" (U+E520 to U+E54F); names are those of MusicXML's elements.
SMUFL_LEVELS = {
    "\ue520": "p",
    "\ue521": "m",
    "\ue522": "f",
    "\ue523": "r",
    "\ue524": "s",
    "\ue525": "z",
    "\ue526": "n",
    "\ue527": "pppppp",
    "\ue528": "ppppp",
    "\ue529": "pppp",
    "\ue52a": "ppp",
    "\ue52b": "pp",
    "\ue52c": "mp",
    "\ue52d": "mf",
    "\ue52e": "pf",
    "\ue52f": "ff",
    "\ue530": "fff",
    "\ue531": "ffff",
    "\ue532": "fffff",
    "\ue533": "ffffff",
    "\ue534": "fp",
    "\ue535": "fz",
    "\ue536": "sf",
    "\ue537": "sfp",
    "\ue538": "sfpp",
    "\ue539": "sfz",
    "\ue53a": "sfzp",
    "\ue53b": "sffz",
    "\ue53c": "rf",
    "\ue53d": "rfz",
}


def read_dynamics(keeper: Keeper, element: Element, place: Place) -> None:
    """Keep each child of `<dynamics>` as a level; all but the first carry ("continues", "yes")."""
    attributes = tuple(element.items())
    place = place._replace(placement=element.get("placement") or place.placement)
    for child in keeper.inside(element):
        own = (*attributes, *child.items())
        text = child.text or "" if child.tag == "other-dynamics" else content(child)
        keeper.mark("level", child.tag, child, place, text, attributes=own)
        attributes = (*element.items(), ("continues", "yes"))
    if attributes == tuple(element.items()):
        keeper.mark("level", "dynamics", element, place, holds_marks=True)
        keeper.problem("empty-level", "A level is printed without a letter.", line_of(element))


def read_words(keeper: Keeper, element: Element, place: Place) -> None:
    """Keep words; where they are a level drawn with music characters, as that level.

    A level that is the whole text has ("from", "words"); one that stands among other words is kept
    beside them with ("within", "words").
    """
    text = clean(element.text) if len(element) else element.text or ""
    level = "".join(SMUFL_LEVELS.get(character, "") for character in text)
    rest = "".join(character for character in text if character not in SMUFL_LEVELS)
    if not level:
        keeper.mark("word", element.tag, element, place, text)
        return
    origin = "within" if rest.strip() else "from"
    if rest.strip():
        keeper.mark("word", element.tag, element, place, text)
    attributes = (*element.items(), (origin, "words"))
    keeper.mark("level", level, element, place, text, attributes=attributes)
