"""What the written page shows beyond the text: written pitches, accidentals, beams and stems."""

from collections.abc import Iterable
from fractions import Fraction

from redstave.reading.tiny.spelling import STEPS, key_fifths, written
from redstave.reading.tiny.values import Bar, Event, Head, Part, TinyScore
from redstave.reading.tiny.vocabulary import ACCIDENTALS

BEAMS = {8: 1, 16: 2, 32: 3, 64: 4}


def lay_out(score: TinyScore, part: Part) -> None:
    """Fill in written pitches, accidentals, beams and stems of a part."""
    key = score.key
    for bar in part.bars:
        key = _key_of(bar, key)
        if score.sounding:
            for head in _heads(bar):
                head.pitch = written(head.pitch, part.transpose, key)
        _show_accidentals(bar, key_fifths(key, part.transpose))
        _beam(bar)
        _set_stems(bar)


def _key_of(bar: Bar, key: int) -> int:
    changes = [int(sign.text) for voice in bar.voices for sign in voice.signs if sign.kind == "key"]
    return changes[0] if changes else key


def _heads(bar: Bar) -> Iterable[Head]:
    return (head for voice in bar.voices for event in voice.events for head in event.heads)


def key_alters(fifths: int) -> dict[str, int]:
    """Return the alteration of each step in a key: two sharps alter F and C."""
    return {step: (fifths - STEPS.index(step) + 6) // 7 for step in STEPS}


def _show_accidentals(bar: Bar, fifths: int) -> None:
    of_key = key_alters(fifths)
    in_force: dict[tuple[int, str, int], int] = {}
    stands = [
        (event.onset, order, voice.stave, head)
        for voice in bar.voices
        for order, event in enumerate(voice.events)
        for head in event.heads
    ]
    for _, _, stave, head in sorted(stands, key=lambda stand: stand[:2]):
        place = (stave, head.pitch.step, head.pitch.octave)
        expected = in_force.get(place, of_key[head.pitch.step])
        if head.tie_stop and place not in in_force:
            continue  # tied over the barline: the accidental is not printed again
        if head.pitch.alter != expected:
            head.accidental = ACCIDENTALS[head.pitch.alter]
        in_force[place] = head.pitch.alter


def _beat(meter: str) -> Fraction:
    count, unit = map(int, meter.split("/"))
    if unit >= 8 and count % 3 == 0:
        return Fraction(3, unit)
    return Fraction(1, min(unit, 4))


def _beam(bar: Bar) -> None:
    beat = _beat(bar.meter)
    for voice in bar.voices:
        run: list[Event] = []
        for event in voice.events:
            if event.grace:
                continue
            joins = bool(event.heads) and event.value in BEAMS
            if run and (not joins or event.onset // beat != run[0].onset // beat):
                _beam_run(run)
                run = []
            if joins:
                run.append(event)
        _beam_run(run)


def _beam_run(run: list[Event]) -> None:
    if len(run) < 2:
        return
    counts = [0, *(BEAMS[event.value] for event in run), 0]
    for place, event in enumerate(run, start=1):
        before, here, after = counts[place - 1 : place + 2]
        event.beams = [_beam_word(level, before, after) for level in range(1, here + 1)]


def _beam_word(level: int, before: int, after: int) -> str:
    if before >= level:
        return "continue" if after >= level else "end"
    if after >= level:
        return "begin"
    return "backward hook" if before else "forward hook"


def _set_stems(bar: Bar) -> None:
    for voice in bar.voices:
        if any(other.stave == voice.stave and other is not voice for other in bar.voices):
            for event in voice.events:
                event.stem = "up" if voice.number % 2 else "down"
