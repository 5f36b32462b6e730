"""Writes what stands between the notes: levels, hairpins, words, tempo, clefs and keys."""

from collections.abc import Callable

from lxml import etree

from redstave.reading.tiny.values import Bar, Sign, TinyScore, Voice
from redstave.reading.tiny.vocabulary import CLEFS, HAIRPINS
from redstave.reading.tiny.xml import child


def clef_element(attributes: etree._Element, name: str, number: int | None) -> None:
    """Write a clef, numbered by stave where the part has several."""
    sign, line = CLEFS[name]
    clef = child(attributes, "clef")
    if number is not None:
        clef.set("number", str(number))
    child(clef, "sign", sign)
    if line:
        child(clef, "line", str(line))


def key_element(attributes: etree._Element, fifths: int) -> None:
    """Write a key signature."""
    child(child(attributes, "key"), "fifths", str(fifths))


def _level(content: etree._Element, sign: Sign) -> None:
    child(child(content, "dynamics"), sign.text)


def _hairpin(content: etree._Element, sign: Sign) -> None:
    child(content, "wedge", type=HAIRPINS[sign.text], number=str(sign.number))


def _words(content: etree._Element, sign: Sign) -> None:
    words = child(content, "words", sign.text.lstrip("_!").strip('"'))
    if sign.text.startswith("!"):
        words.set("font-weight", "bold")


def _tempo(content: etree._Element, sign: Sign) -> None:
    _metronome(content, sign.text.lstrip("%"))


def _metronome(content: etree._Element, quarters: str) -> None:
    metronome = child(content, "metronome")
    child(metronome, "beat-unit", "quarter")
    child(metronome, "per-minute", quarters)


def _rehearsal(content: etree._Element, sign: Sign) -> None:
    child(content, "rehearsal", sign.text.lstrip("@"))


CONTENTS: dict[str, Callable[[etree._Element, Sign], None]] = {
    "level": _level,
    "hairpin": _hairpin,
    "words": _words,
    "tempo": _tempo,
    "rehearsal": _rehearsal,
}


class Directions:
    """Writes the directions of a part with that many staves."""

    def __init__(self, staves: int) -> None:
        self._staves = staves

    def write(self, measure: etree._Element, sign: Sign, voice: Voice, bar: Bar) -> None:
        """Write one sign as a direction of its voice and stave."""
        direction = child(measure, "direction", placement=_placement(sign, voice, bar))
        CONTENTS[sign.kind](child(direction, "direction-type"), sign)
        child(direction, "voice", str(4 * (voice.stave - 1) + voice.number))
        if self._staves > 1:
            child(direction, "staff", str(voice.stave))
        if sign.kind == "tempo":
            child(direction, "sound", tempo=sign.text.lstrip("%"))

    def opening_tempo(self, measure: etree._Element, score: TinyScore) -> None:
        """Write the tempo of the score's header, words and number in one direction."""
        if score.tempo is None and not score.tempo_word:
            return
        direction = child(measure, "direction", placement="above")
        if score.tempo_word:
            content = child(direction, "direction-type")
            child(content, "words", score.tempo_word).set("font-weight", "bold")
        if score.tempo is not None:
            quarters = f"{score.tempo:g}"
            _metronome(child(direction, "direction-type"), quarters)
            child(direction, "sound", tempo=quarters)


def _placement(sign: Sign, voice: Voice, bar: Bar) -> str:
    if sign.kind in ("level", "hairpin"):
        # The upper of two voices has its levels above only where the lower has its own.
        return "above" if voice.number == 1 and _lower_has_levels(voice, bar) else "below"
    return "below" if sign.text.startswith("_") else "above"


def _lower_has_levels(voice: Voice, bar: Bar) -> bool:
    return any(
        sign.kind in ("level", "hairpin")
        for other in bar.voices
        if other.stave == voice.stave and other.number > voice.number
        for sign in other.signs
    )
