"""From the text of a tiny score to its values, checked for all that the writer relies on."""

import re
from fractions import Fraction

from redstave.base.errors import InputError
from redstave.reading.tiny.music import MusicReader
from redstave.reading.tiny.tokens import Heading, PartText, error, split, tokens
from redstave.reading.tiny.values import Bar, Part, TinyScore
from redstave.reading.tiny.vocabulary import CLEFS, HEADERS, SETTINGS

METER = re.compile(r"[1-9]\d*/(1|2|4|8|16|32)")
TEMPO = re.compile(r'(\d+(?:\.\d+)?)?\s*(?:"([^"]*)")?')


def parse(text: str) -> TinyScore:
    """Return the values of a tiny score; InputError names the line that is wrong."""
    headers, part_texts = split(text)
    score = _headed(headers)
    if not part_texts:
        raise InputError("Tiny notation: the text holds no line that begins with 'part'.")
    score.parts.extend(_part(part, score.meter) for part in part_texts)
    _fit(score)
    return score


def meter_length(meter: str, line: int) -> Fraction:
    """Return the length in whole notes of a bar of the metre."""
    if not METER.fullmatch(meter):
        raise error(line, f"{meter!r} is not a metre such as 4/4 or 6/8")
    return Fraction(*map(int, meter.split("/")))


def _headed(headers: list[Heading]) -> TinyScore:
    found = {heading.name: heading for heading in headers}
    for heading in headers:
        if heading.name not in HEADERS:
            raise error(
                heading.line, f"{heading.name!r} is not one of {', '.join(sorted(HEADERS))}"
            )

    def header(name: str, usual: str) -> Heading:
        return found.get(name, Heading(0, name, usual))

    tempo, word = _tempo(header("tempo", ""))
    pickup = header("pickup", "")
    meter = header("meter", "4/4")
    meter_length(meter.text, meter.line)
    return TinyScore(
        title=header("title", "").text,
        arranger=header("arranger", "").text,
        meter=meter.text,
        key=key(header("key", "0").text, header("key", "0").line),
        tempo=tempo,
        tempo_word=word,
        sounding=_choice(header("pitch", "written"), ("written", "sounding")) == "sounding",
        pickup=meter_length(pickup.text, pickup.line) if pickup.text else None,
        strict=_choice(header("sums", "strict"), ("strict", "free")) == "strict",
        parts=[],
    )


def key(text: str, line: int) -> int:
    """Return a key as fifths, -7 to 7."""
    if not re.fullmatch(r"[+-]?[0-7]", text):
        raise error(line, f"{text!r} is not a key; write the fifths, -7 to 7")
    return int(text)


def _choice(heading: Heading, choices: tuple[str, ...]) -> str:
    if heading.text not in choices:
        raise error(heading.line, f"{heading.name} is {' or '.join(choices)}, not {heading.text!r}")
    return heading.text


def _tempo(heading: Heading) -> tuple[float | None, str]:
    match = TEMPO.fullmatch(heading.text)
    if match is None or (match[1] is not None and not float(match[1])):
        raise error(heading.line, 'a tempo is a number, "words" or both')
    return (float(match[1]) if match[1] else None), match[2] or ""


def _part(text: PartText, meter: str) -> Part:
    line = text.heading.line
    name, *pairs = [piece.strip() for piece in text.heading.text.split("|")]
    settings: dict[str, str] = {}
    for pair in pairs:
        setting, equals, value = (piece.strip() for piece in pair.partition("="))
        if not equals or setting not in SETTINGS:
            raise error(line, f"{pair!r} is not one of {', '.join(sorted(SETTINGS))} with '='")
        settings[setting] = value
    _check_settings(name, settings, line)
    part = Part(line, name, settings, [])
    part.bars = MusicReader(meter, part.staves).read(tokens(text.lines), line)
    return part


def _check_settings(name: str, settings: dict[str, str], line: int) -> None:
    if not name:
        raise error(line, "the part has no name")
    transpose = settings.get("transpose", "0")
    if not re.fullmatch(r"[+-]?\d{1,2}", transpose) or abs(int(transpose)) > 36:
        raise error(line, "transpose is a number of semitones, -36 to 36, such as -7")
    if not re.fullmatch(r"[1-4]", settings.get("staves", "1")):
        raise error(line, "staves is a number from 1 to 4")
    for clef in settings.get("clef", "").split(","):
        if clef.strip() and clef.strip() not in CLEFS:
            raise error(line, f"{clef.strip()!r} is not one of {', '.join(CLEFS)}")


def _fit(score: TinyScore) -> None:
    first = score.parts[0]
    for part in score.parts:
        if len(part.bars) != len(first.bars):
            raise error(
                part.line,
                f"{part.name} has {len(part.bars)} bars, {first.name} has {len(first.bars)}",
            )
    for index, bars in enumerate(zip(*(part.bars for part in score.parts), strict=True)):
        length = _bar_length(score, index, bars)
        _share_barlines(bars, index)
        for part, bar in zip(score.parts, bars, strict=True):
            if bar.meter != bars[0].meter:
                raise error(bar.line, f"{bar.meter} here, {bars[0].meter} in the first part")
            bar.length = length
            _fit_bar(bar, f"bar {index + 1} of {part.name}", score.strict)


def _bar_length(score: TinyScore, index: int, bars: tuple[Bar, ...]) -> Fraction:
    metre = meter_length(bars[0].meter, bars[0].line)
    if score.pickup is None:
        return metre
    if index == 0:
        return score.pickup
    is_last = index == len(score.parts[0].bars) - 1
    completing = metre - score.pickup
    if is_last and any(voice.length == completing for bar in bars for voice in bar.voices):
        return completing
    return metre


def _share_barlines(bars: tuple[Bar, ...], index: int) -> None:
    for side in ("left", "right"):
        named = {getattr(bar, side) for bar in bars} - {""}
        if len(named) > 1:
            raise error(bars[0].line, f"the parts disagree on the barline of bar {index + 1}")
        for bar in bars:
            setattr(bar, side, "".join(named))


def _fit_bar(bar: Bar, where: str, strict: bool) -> None:
    for voice in bar.voices:
        for sign in voice.signs:
            if sign.kind == "clef" and sign.text not in CLEFS:
                raise error(sign.line, f"{sign.text!r} is not one of {', '.join(CLEFS)}")
            if sign.kind == "key":
                key(sign.text, sign.line)
        for event in voice.events:
            if event.whole_bar:
                event.duration = bar.length
        total = sum((event.duration for event in voice.events), Fraction(0))
        if strict and total != bar.length:
            raise error(
                bar.line,
                f"{where}: a voice holds {_note_value(total)}, not {_note_value(bar.length)}",
            )
        voice.length = total


def _note_value(length: Fraction) -> str:
    return f"{length.numerator}/{length.denominator}"
