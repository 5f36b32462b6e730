"""Goes through an MEI file bar by bar."""

from collections.abc import Iterator
from fractions import Fraction

from lxml import etree

from redstave.base.errors import InputError
from redstave.reading.mei.controls import Controls, Named, read_control
from redstave.reading.mei.layers import Ground, Layer
from redstave.reading.mei.long_rests import bars_of, fit_rests, later_signs, silent_bar
from redstave.reading.mei.ornaments import read_on_note
from redstave.reading.mei.staves import bar_length, read_parts, settings_of, text_in, text_of
from redstave.reading.mei.values import BarSigns, Event, Music, PartBar, Setting, events_of
from redstave.reading.mei.words import ON_NOTES
from redstave.reading.numbers import whole
from redstave.reading.parser import PARSER_OPTIONS, syntax_error

Element = etree._Element


class Stave:
    """Where one stave of the file goes, and what is in force on it."""

    def __init__(self, part: int, number: int) -> None:
        self.part = part
        self.number = number
        self.key = 0
        self.length = Fraction(4)
        self.unit = 4


def read_music(mei: bytes, name: str) -> Music:
    """Return what the file holds; InputError if it is damaged or holds no score."""
    try:
        root = etree.fromstring(mei, etree.XMLParser(collect_ids=False, **PARSER_OPTIONS))
    except etree.XMLSyntaxError as error:
        raise syntax_error(error, name) from error
    for element in root.iter(etree.Element):
        element.tag = etree.QName(element).localname
    score = next(root.iter("score"), None)
    head = None if score is None else score.find("scoreDef")
    if score is None or head is None:
        raise InputError(f"{name} is MEI without a score; export the score as MusicXML.")
    music = Music()
    music.tells_sounding = root.find(".//*[@accid.ges]") is not None
    title = root.find(".//titleStmt")
    if title is not None:
        music.title = text_of(title, "title")
        music.composer = next(
            (text_in(who) for who in title.iter() if who.get("role") == "composer"), ""
        )
    read_parts(music, head)
    if not music.parts:
        raise InputError(f"{name} is MEI without staves; export the score as MusicXML.")
    _Reader(music).read(score)
    events = [event for part in music.parts for bar in part.bars for event in events_of(bar)]
    if all(event.hidden for event in events):
        text = f"{name} is MEI or kern without a note or rest; export the score as MusicXML."
        raise InputError(text)
    return music


class _Reader:
    def __init__(self, music: Music) -> None:
        self._music = music
        self._staves = {
            number: Stave(index, position)
            for index, part in enumerate(music.parts)
            for position, number in enumerate(part.staves, start=1)
        }
        self._waiting: list[tuple[Stave, Element]] = []  # settings for the next bar
        self._controls = Controls(music)
        self._break = ""
        self._pulses = 0  # of a quarter, in what the file calls ppq

    def read(self, score: Element) -> None:
        for element in _along(score):
            if element.tag == "scoreDef":
                self._definition(element)
            elif element.tag == "staffDef":
                self._of_stave(element)
            elif element.tag in ("sb", "pb"):
                self._break = element.tag
            elif element.tag == "measure":
                self._bar(element)
        self._controls.finish()

    def _definition(self, element: Element) -> None:
        self._pulses = whole(element.get("ppq")) or self._pulses
        for made in settings_of(element):
            for stave in self._staves.values():
                self._set(stave, made)
        for inner in element.iter("staffDef"):
            self._of_stave(inner)

    def _of_stave(self, element: Element) -> None:
        stave = self._staves.get(element.get("n") or "")
        self._pulses = whole(element.get("ppq")) or self._pulses
        for made in settings_of(element) if stave is not None else ():
            assert stave is not None
            self._set(stave, made)

    def _set(self, stave: Stave, made: Element) -> None:
        if made.tag == "key":
            stave.key = whole(made.findtext("fifths")) or 0
        elif made.tag == "time":
            stave.length = bar_length(made)
            stave.unit = whole(made.findtext("beat-type")) or 4
        self._waiting.append((stave, made))

    def _bar(self, element: Element) -> None:
        music = self._music
        music.first_bars.append(len(music.bars))
        music.bars.append(self._signs(element))
        for part in music.parts:
            part.bars.append(PartBar())
        for stave, made in self._waiting:
            self._keep(stave, Setting(Fraction(0), etree.fromstring(etree.tostring(made))))
        self._waiting = []
        named: Named = {}
        for node in element.iterchildren("staff"):
            stave_read = self._staves.get(node.get("n") or "")
            if stave_read is not None:
                self._stave(stave_read, node, named)
        self._controls.begin_bar(
            named, {n: (s.part, s.number, s.unit) for n, s in self._staves.items()}
        )
        for node in element.iterchildren(etree.Element):
            if node.tag != "staff":
                (read_on_note if node.tag in ON_NOTES else read_control)(self._controls, node)
        if music.bars[-1].implicit:
            fit_rests([part.bars[-1] for part in music.parts])
        self._go_on_resting(bars_of(element, music.left_out))

    def _go_on_resting(self, bars: int) -> None:
        """Add the bars but the first of a rest that lasts so many."""
        music = self._music
        music.bars.extend(later_signs(music.bars[-1], bars))
        for index, part in enumerate(music.parts):
            lengths = {s.number: s.length for s in self._staves.values() if s.part == index}
            part.bars.extend([silent_bar(part.bars[-1], lengths) for _ in range(1, bars)])

    def _keep(self, stave: Stave, setting: Setting) -> None:
        if setting.element.tag == "clef" or len(self._music.parts[stave.part].staves) > 1:
            setting.element.set("number", str(stave.number))
        bar = self._music.parts[stave.part].bars[-1]
        same = [old for old in bar.settings if _slot(old) == _slot(setting)]
        bar.settings = [old for old in bar.settings if old not in same]
        bar.settings.append(setting)

    def _stave(self, stave: Stave, node: Element, named: Named) -> None:
        bar = self._music.parts[stave.part].bars[-1]
        for order, layer in enumerate(node.iterchildren("layer"), start=1):
            reader = Layer(self._ground(stave), self._music)
            reader.read(layer)
            bar.layers[stave.number, str(4 * (stave.number - 1) + order)] = reader.events
            bar.settings.extend(reader.settings)
            for name, (event, head) in reader.by_id.items():
                named[name] = (stave.part, event, head)
        _fill(bar, stave)

    def _ground(self, stave: Stave) -> Ground:
        transposes = self._music.parts[stave.part].transposition[1] != 0
        return Ground(stave.number, stave.length, stave.key, self._pulses, transposes)

    def _signs(self, element: Element) -> BarSigns:
        signs = BarSigns(element.get("n") or str(len(self._music.bars) + 1))
        signs.implicit = element.get("metcon") == "false"
        signs.left, signs.right = element.get("left") or "", element.get("right") or ""
        signs.break_before, self._break = self._break, ""
        ending = element.getparent()
        if ending is not None and ending.tag == "ending":
            bars = list(ending.iter("measure"))
            number = (ending.get("n") or "1").rstrip(".")
            signs.ending_starts = number if bars[0] is element else ""
            signs.ending_stops = number if bars[-1] is element else ""
        return signs


def _slot(setting: Setting) -> tuple[Fraction, str, str]:
    return setting.onset, setting.element.tag, setting.element.get("number") or ""


def _fill(bar: PartBar, stave: Stave) -> None:
    """Give a stave that says nothing in this bar its silence."""
    if not any(number == stave.number for number, _ in bar.layers):
        silence = Event(Fraction(0), stave.length, whole_bar=True, stave=stave.number)
        bar.layers[stave.number, str(4 * (stave.number - 1) + 1)] = [silence]


def _along(element: Element) -> Iterator[Element]:
    """Yield what stands in a score, in order, sections and endings opened."""
    for child in element.iterchildren(etree.Element):
        if child.tag in ("section", "ending", "expansion", "supplied", "lem"):
            yield from _along(child)
        else:
            yield child
