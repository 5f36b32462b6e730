"""Writes what a MIDI file plays as MusicXML."""

from fractions import Fraction

from lxml import etree

from redstave.model.line import FORTE_VELOCITY
from redstave.reading.midi.played import DRUMS, GRID, Played, Player
from redstave.reading.midi.struck import Struck, changes_of
from redstave.reading.midi.written import Bar, Piece, bars_of, pieces_of, voices_of
from redstave.reading.tiny.xml import child

Element = etree._Element
STEPS = "FCGDAEB"  # along the line of fifths
BELOW_TONIC, NAMES = 3, 12  # twelve names from three fifths below the tonic: E flat to G sharp in C
BASS_CLEF_BELOW = 57  # MIDI number of the A below middle C: parts that lie lower have a bass clef


def write(played: Played) -> bytes:
    """Return the piece as MusicXML 4.0."""
    root = etree.Element("score-partwise", version="4.0")
    if played.title:
        child(child(root, "work"), "work-title", played.title)
    listed = child(root, "part-list")
    for number, player in enumerate(played.players, start=1):
        _heading(listed, player, f"P{number}")
    bars = bars_of(played)
    for number, player in enumerate(played.players, start=1):
        _part(child(root, "part", id=f"P{number}"), played, player, bars, signs=number == 1)
    return etree.tostring(root, encoding="UTF-8", xml_declaration=True, pretty_print=True)


def _heading(listed: Element, player: Player, part_id: str) -> None:
    entry = child(listed, "score-part", id=part_id)
    child(entry, "part-name", player.name)
    instrument = child(entry, "score-instrument", id=f"{part_id}-I1")
    child(instrument, "instrument-name", player.name)
    midi = child(entry, "midi-instrument", id=f"{part_id}-I1")
    child(midi, "midi-channel", str(player.channel + 1))
    if player.program:
        child(midi, "midi-program", str(player.program))


def _part(element: Element, played: Played, player: Player, bars: list[Bar], signs: bool) -> None:
    voices = [pieces_of(voice, bars) for voice in voices_of(player.tones)]
    struck = {} if played.only_velocity is not None else changes_of(player.tones, bars)
    fifths = 0
    for index, bar in enumerate(bars):
        measure = child(element, "measure", number=str(index + 1))
        keys = [time for time in sorted(played.keys) if bar.start <= time < bar.stop]
        fifths = played.keys[keys[0]] if keys else fifths
        _attributes(measure, player, bar, fifths, first=index == 0, keyed=bool(keys))
        if signs:
            _tempos(measure, played, bar)
        if index in struck:
            _level(measure, struck[index])
        for number, rows in enumerate(voices, start=1):
            if number > 1 and not any(piece.pitches for piece in rows[index]):
                continue
            if number > 1:
                child(child(measure, "backup"), "duration", _length(bar.stop - bar.start))
            for piece in rows[index]:
                _chord(measure, piece, str(number), fifths, player.channel == DRUMS)


def _attributes(
    measure: Element, player: Player, bar: Bar, fifths: int, first: bool, keyed: bool
) -> None:
    if not (first or keyed or bar.is_new):
        return
    attributes = child(measure, "attributes")
    if first:
        child(attributes, "divisions", str(GRID))
    if (first or keyed) and player.channel != DRUMS:
        child(child(attributes, "key"), "fifths", str(fifths))
    if bar.is_new:
        time = child(attributes, "time")
        child(time, "beats", str(bar.meter[0]))
        child(time, "beat-type", str(bar.meter[1]))
    if first:
        middle = sum(tone.pitch for tone in player.tones) / len(player.tones)
        sign, line = ("F", "4") if middle < BASS_CLEF_BELOW else ("G", "2")
        clef = child(attributes, "clef")
        child(clef, "sign", "percussion" if player.channel == DRUMS else sign)
        if player.channel != DRUMS:
            child(clef, "line", line)


def _tempos(measure: Element, played: Played, bar: Bar) -> None:
    for time in sorted(time for time in played.tempos if bar.start <= time < bar.stop):
        direction = child(measure, "direction", placement="above")
        mark = child(child(direction, "direction-type"), "metronome")
        child(mark, "beat-unit", "quarter")
        child(mark, "per-minute", f"{played.tempos[time]:.4g}")
        if time > bar.start:
            child(direction, "offset", _length(time - bar.start))
        child(direction, "sound", tempo=f"{played.tempos[time]:.6g}")


def _level(measure: Element, struck: Struck) -> None:
    """Tell playback how loud it is, as MusicXML does: in percent of a forte."""
    sound = child(measure, "sound", dynamics=f"{struck.velocity / FORTE_VELOCITY * 100:.2f}")
    if struck.onset:
        child(sound, "offset", _length(struck.onset))


def _length(quarters: Fraction) -> str:
    return str(round(quarters * GRID))


def _chord(measure: Element, piece: Piece, voice: str, fifths: int, drums: bool) -> None:
    for index, pitch in enumerate(piece.pitches or (None,)):
        note = child(measure, "note")
        if index:
            child(note, "chord")
        if pitch is None:
            child(note, "rest")
        else:
            _pitch(note, pitch, fifths, drums)
        child(note, "duration", _length(piece.duration))
        ties = ["stop"] * piece.tie_stop + ["start"] * piece.tie_start
        for kind in ties:
            child(note, "tie", type=kind)
        child(note, "voice", voice)
        if piece.value is not None:
            name, dots, triplet = piece.value
            child(note, "type", name)
            for _ in range(dots):
                child(note, "dot")
            if triplet:
                modification = child(note, "time-modification")
                child(modification, "actual-notes", "3")
                child(modification, "normal-notes", "2")
        if ties:
            notations = child(note, "notations")
            for kind in ties:
                child(notations, "tied", type=kind)


def _pitch(note: Element, pitch: int, fifths: int, drums: bool) -> None:
    step, alter = spelled(pitch, fifths)
    octave = (pitch - alter) // 12 - 1
    element = child(note, "unpitched" if drums else "pitch")
    prefix = "display-" if drums else ""
    child(element, f"{prefix}step", step)
    if alter and not drums:
        child(element, "alter", str(alter))
    child(element, f"{prefix}octave", str(octave))


def spelled(pitch: int, fifths: int) -> tuple[str, int]:
    """Return step and alteration of a MIDI number, as near to the key on the line of fifths."""
    lowest = fifths - BELOW_TONIC
    along = lowest + (pitch * 7 - lowest) % NAMES  # C is 0, G is 1
    return STEPS[(along + 1) % 7], (along + 1) // 7
