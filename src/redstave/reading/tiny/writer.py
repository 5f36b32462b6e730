"""From the values of a tiny score to MusicXML 4.0, elements in the order of its schema."""

from fractions import Fraction
from math import lcm

from lxml import etree

from redstave.reading.tiny.page import lay_out
from redstave.reading.tiny.signs import Directions, clef_element, key_element
from redstave.reading.tiny.spelling import key_fifths, transposition
from redstave.reading.tiny.values import Bar, Event, Part, Sign, TinyScore, Voice
from redstave.reading.tiny.writenote import write_event
from redstave.reading.tiny.xml import child

DOCTYPE = (
    '<!DOCTYPE score-partwise PUBLIC "-//Recordare//DTD MusicXML 4.0 Partwise//EN" '
    '"http://www.musicxml.org/dtds/partwise.dtd">'
)
BAR_STYLES = {"double": "light-light", "final": "light-heavy"}


def write(score: TinyScore) -> bytes:
    """Return the score as MusicXML 4.0."""
    root = etree.Element("score-partwise", version="4.0")
    if score.title:
        child(child(root, "work"), "work-title", score.title)
    identification = child(root, "identification")
    if score.arranger:
        child(identification, "creator", score.arranger, type="arranger")
    child(child(identification, "encoding"), "software", "Redstave")
    _write_part_list(root, score.parts)
    divisions = _divisions(score)
    for number, part in enumerate(score.parts, start=1):
        lay_out(score, part)
        PartWriter(score, part, number, divisions).write(child(root, "part", id=f"P{number}"))
    return etree.tostring(
        root, xml_declaration=True, encoding="UTF-8", pretty_print=True, doctype=DOCTYPE
    )


def _divisions(score: TinyScore) -> int:
    lengths = {
        4 * event.duration
        for part in score.parts
        for bar in part.bars
        for voice in bar.voices
        for event in voice.events
    }
    return lcm(*(length.denominator for length in lengths))


def _write_part_list(root: etree._Element, parts: list[Part]) -> None:
    part_list = child(root, "part-list")
    group = ""
    for number, part in enumerate(parts, start=1):
        named = part.settings.get("group", "")
        if named != group:
            _change_group(part_list, group, named)
            group = named
        score_part = child(part_list, "score-part", id=f"P{number}")
        child(score_part, "part-name", part.name)
        if "abbr" in part.settings:
            child(score_part, "part-abbreviation", part.settings["abbr"])
        instrument = child(score_part, "score-instrument", id=f"P{number}-I1")
        child(instrument, "instrument-name", part.name)
        if "sound" in part.settings:
            child(instrument, "instrument-sound", part.settings["sound"])
    if group:
        _change_group(part_list, group, "")


def _change_group(part_list: etree._Element, ending: str, beginning: str) -> None:
    if ending:
        child(part_list, "part-group", number="1", type="stop")
    if beginning:
        element = child(part_list, "part-group", number="1", type="start")
        child(element, "group-name", beginning)
        child(element, "group-symbol", "bracket")
        child(element, "group-barline", "yes")


class PartWriter:
    """Writes the bars of one part; holds what is in force from bar to bar."""

    def __init__(self, score: TinyScore, part: Part, number: int, divisions: int) -> None:
        self._score = score
        self._part = part
        self._divisions = divisions
        self._is_first = number == 1
        self._directions = Directions(part.staves)

    def write(self, element: etree._Element) -> None:
        """Write every bar into the part's element."""
        for index, bar in enumerate(self._part.bars):
            printed = index if self._score.pickup is not None else index + 1
            measure = child(element, "measure", number=str(printed))
            if printed == 0:
                measure.set("implicit", "yes")
            self._write_bar(measure, bar, is_first=index == 0)

    def _write_bar(self, measure: etree._Element, bar: Bar, is_first: bool) -> None:
        if bar.left:
            barline = child(measure, "barline", location="left")
            child(barline, "bar-style", "heavy-light")
            child(barline, "repeat", direction="forward")
        self._write_attributes(measure, bar, is_first)
        if is_first and self._is_first:
            self._directions.opening_tempo(measure, self._score)
        written = Fraction(0)
        for voice in bar.voices:
            if written:
                self._move(measure, "backup", written)
            self._write_voice(measure, voice, bar)
            written = voice.length
        self._write_right_barline(measure, bar)

    def _write_attributes(self, measure: etree._Element, bar: Bar, is_first: bool) -> None:
        signs = [sign for voice in bar.voices for sign in voice.signs if not sign.onset]
        keys = [int(sign.text) for sign in signs if sign.kind == "key"]
        meters = [sign.text for sign in signs if sign.kind == "meter"]
        if is_first:
            keys, meters = keys or [self._score.key], [bar.meter]
        if not keys and not meters:
            return
        attributes = child(measure, "attributes")
        if is_first:
            child(attributes, "divisions", str(self._divisions))
        if keys:
            key_element(attributes, key_fifths(keys[0], self._part.transpose))
        if meters:
            beats, unit = meters[0].split("/")
            time = child(attributes, "time")
            child(time, "beats", beats)
            child(time, "beat-type", unit)
        if is_first:
            self._write_staves(attributes)
        if self._part.transpose:
            self._write_transposition(attributes)

    def _write_staves(self, attributes: etree._Element) -> None:
        staves = self._part.staves
        if staves > 1:
            child(attributes, "staves", str(staves))
        for number, clef in enumerate(self._part.clefs, start=1):
            clef_element(attributes, clef, number if staves > 1 else None)

    def _write_transposition(self, attributes: etree._Element) -> None:
        diatonic, chromatic, octaves = transposition(self._part.transpose)
        transpose = child(attributes, "transpose")
        child(transpose, "diatonic", str(diatonic))
        child(transpose, "chromatic", str(chromatic))
        if octaves:
            child(transpose, "octave-change", str(octaves))

    def _write_voice(self, measure: etree._Element, voice: Voice, bar: Bar) -> None:
        for item in voice.items:
            if isinstance(item, Sign):
                self._write_sign(measure, item, voice, bar)
            elif item.space:
                self._move(measure, "forward", item.duration, voice)
            else:
                self._write_event(measure, item, voice)

    def _write_event(self, measure: etree._Element, event: Event, voice: Voice) -> None:
        duration = str(int(4 * event.duration * self._divisions))
        stave = str(voice.stave) if self._part.staves > 1 else ""
        unpitched = self._part.clefs[voice.stave - 1] == "percussion"
        write_event(measure, event, duration, voice_number(voice), stave, unpitched)

    def _write_sign(self, measure: etree._Element, sign: Sign, voice: Voice, bar: Bar) -> None:
        if sign.kind == "clef":
            number = voice.stave if self._part.staves > 1 else None
            clef_element(child(measure, "attributes"), sign.text, number)
        elif sign.kind == "key" and sign.onset:
            fifths = key_fifths(int(sign.text), self._part.transpose)
            key_element(child(measure, "attributes"), fifths)
        elif sign.kind not in ("key", "meter"):
            self._directions.write(measure, sign, voice, bar)

    def _move(
        self, measure: etree._Element, tag: str, length: Fraction, voice: Voice | None = None
    ) -> None:
        element = child(measure, tag)
        child(element, "duration", str(int(4 * length * self._divisions)))
        if voice is not None:
            child(element, "voice", voice_number(voice))
            if self._part.staves > 1:
                child(element, "staff", str(voice.stave))

    def _write_right_barline(self, measure: etree._Element, bar: Bar) -> None:
        is_last = bar is self._part.bars[-1]
        right = bar.right or ("final" if is_last else "")
        if not right:
            return
        barline = child(measure, "barline", location="right")
        child(barline, "bar-style", BAR_STYLES.get(right, "light-heavy"))
        if right == "repeat":
            child(barline, "repeat", direction="backward")


def voice_number(voice: Voice) -> str:
    """Return MusicXML's number of the voice: 1 to 4 in the first stave, 5 to 8 in the second."""
    return str(4 * (voice.stave - 1) + voice.number)
