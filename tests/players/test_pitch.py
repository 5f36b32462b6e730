"""Sounding pitch against an independent reader (music21's `toSoundingPitch`)."""

import warnings
from collections import Counter
from pathlib import Path

import pytest
from lxml import etree

from redstave.model.line import Forces
from redstave.players import play
from redstave.reading import read, xml_of

# Transposing winds and horns in several keys, octave instruments, octave lines, two staves; only
# the first bars, because the other reader is slow.
FILES = [
    ("Bruckner_WAB.105_3b_Trio.mxl", 70),
    ("Brahms_Op.68_3.mxl", 60),
    ("Beethoven_Op.55_2.mxl", 60),
    ("Boulanger_Dun_matin_de_printemps.mxl", 60),
]
Place = tuple[int, float, float]


def _ours(file: Path) -> tuple[list[Counter[Place]], list[set[tuple[int, float]]]]:
    """Return bar, place in the bar in quarters, and sounding pitch of every note, by part.

    And the places of harmonics, which the other reader leaves where they are written.
    """
    score = read(file)
    playing = play(score, Forces())
    found: list[Counter[Place]] = [Counter() for _ in score.parts]
    touched: list[set[tuple[int, float]]] = [set() for _ in score.parts]
    index = {part.id: number for number, part in enumerate(score.parts)}
    seen: set[str] = set()  # a note that two players have is two tones
    for tone in playing.tones:
        counted = found[index[playing.lines[tone.line].part]]
        for note in (score.notes_by_id[id_] for id_ in tone.notes if id_ not in seen):
            place = note.bar, round(note.offset / score.ticks_per_quarter, 3)
            if tone.technique == "harmonic":
                touched[index[playing.lines[tone.line].part]].add(place)
            elif not note.grace and not tone.unpitched:
                counted[*place, tone.midi] += 1
        seen.update(tone.notes)
    return found, touched


def _theirs(file: Path) -> list[Counter[Place]]:
    from music21 import converter, stream

    with warnings.catch_warnings():
        warnings.simplefilter("ignore")
        sounding = converter.parse(file, forceSource=True).toSoundingPitch()
    found: list[Counter[Place]] = []
    for part in sounding.parts:
        if "-Staff" not in str(part.id) or str(part.id).endswith("-Staff1"):
            found.append(Counter())
        counted = found[-1]
        for bar, measure in enumerate(part.getElementsByClass(stream.Measure)):
            for note in measure.flatten().notes:
                if note.duration.isGrace or note.style.hideObjectOnPrint:
                    continue
                for pitch in note.pitches if "Unpitched" not in note.classes else ():
                    counted[bar, round(float(note.offset), 3), float(pitch.ps)] += 1
    return found


def _opening(file: Path, bars: int, folder: Path) -> Path:
    """Write the first bars of a file into a folder."""
    root = etree.fromstring(xml_of(file.read_bytes(), file.name)[0])
    for part in root.iter("part"):
        for measure in part.findall("measure")[bars:]:
            part.remove(measure)
    opening = folder / f"{file.stem}.musicxml"
    opening.write_bytes(etree.tostring(root))
    return opening


@pytest.mark.corpus
@pytest.mark.parametrize(("name", "bars"), FILES)
def test_sounding_pitch_agrees_with_music21(
    scores: Path, tmp_path: Path, name: str, bars: int
) -> None:
    """Every pitched note of every part sounds where music21 says it sounds."""
    opening = _opening(scores / "orchestra" / name, bars, tmp_path)
    (ours, harmonics), theirs = _ours(opening), _theirs(opening)
    assert len(ours) == len(theirs)
    for number, (mine, other) in enumerate(zip(ours, theirs, strict=True)):
        for place in [p for p in (*mine, *other) if p[:2] in harmonics[number]]:
            mine[place] = other[place] = 0
        assert mine == other, f"part {number + 1}: {sorted((mine - other) + (other - mine))[:8]}"
    assert sum(sum(part.values()) for part in ours) > 500
