"""Spelling on the line of fifths: F is -1, C 0, G 1 … F sharp 6; an interval is a distance."""

from redstave.reading.tiny.values import Pitch

STEPS = "FCGDAEB"
SEMITONES = {"C": 0, "D": 2, "E": 4, "F": 5, "G": 7, "A": 9, "B": 11}

# Fifths of the interval that many semitones up, in its usual spelling (3 is a minor third).
INTERVAL_FIFTHS = (0, -5, 2, -3, 4, -1, 6, 1, -4, 3, -2, 5)


def interval_fifths(semitones: int) -> int:
    """Return the distance on the line of fifths of an interval, falling intervals mirrored."""
    size = INTERVAL_FIFTHS[abs(semitones) % 12]
    return size if semitones >= 0 else -size


def key_fifths(concert: int, transpose: int) -> int:
    """Return the written key of a part that sounds `transpose` semitones from what is written."""
    written = concert - interval_fifths(transpose)
    if written > 7:
        return written - 12
    return written + 12 if written < -7 else written


def midi(pitch: Pitch) -> int:
    """Return the MIDI number of a pitch; C4 is 60."""
    return 12 * (pitch.octave + 1) + SEMITONES[pitch.step] + pitch.alter


def shifted(pitch: Pitch, fifths: int, semitones: int) -> Pitch:
    """Return the pitch moved by an interval; beyond double accidentals its enharmonic twin."""
    place = STEPS.index(pitch.step) - 1 + 7 * pitch.alter + fifths
    while place > 19:  # B double sharp
        place -= 12
    while place < -15:  # F double flat
        place += 12
    step, alter = STEPS[(place + 1) % 7], (place + 1) // 7
    octave = (midi(pitch) + semitones - alter - SEMITONES[step]) // 12 - 1
    return Pitch(step, alter, octave)


def written(pitch: Pitch, transpose: int, concert_key: int) -> Pitch:
    """Return the written pitch of a sounding one, spelled to suit the part's written key."""
    fifths = key_fifths(concert_key, transpose) - concert_key
    return shifted(pitch, fifths, -transpose)


def transposition(transpose: int) -> tuple[int, int, int]:
    """Return MusicXML's diatonic, chromatic (less than an octave) and octave-change."""
    sign = -1 if transpose < 0 else 1
    octaves, chromatic = divmod(abs(transpose), 12)
    letters = 4 * interval_fifths(chromatic) % 7
    return sign * letters, sign * chromatic, sign * octaves
