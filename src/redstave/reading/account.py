"""Counts what a score holds, as a plain count of the file's elements would."""

from collections import Counter

from redstave.model.score import Mark, Part, Score

STARTS = {"slurs": "slur", "ties": "tie", "hairpins": "hairpin", "tuplets": "tuplet"}


def counts(score: Score) -> dict[str, int]:
    """Return how many of each kind the score holds.

    Each number equals a count of elements in the file: `notes` every `<note>` that is no rest,
    graces and chord members included; `rests`; `graces` and `chords` the notes with `<grace>` and
    `<chord>`; `slurs`, `hairpins`, `tuplets` the starts; `ties` the starts of `<tied>`, and of
    `<tie>` on notes where no `<tied>` starts; `levels` the `<dynamics>`, however many letters each
    holds; `words`, `tempos` (`<metronome>`), `rehearsals`, `tremolos` the elements of that name;
    `articulations`, `ornaments`, `technical` the children of the elements so named.
    """
    total: Counter[str] = Counter()
    for part in score.parts:
        total.update(_count_notes(part))
        total.update(_count_spans(part))
        for mark in part.marks:
            total.update(_count_mark(mark))
    return {name: total[name] for name in NAMES}


NAMES = (
    "notes",
    "rests",
    "graces",
    "chords",
    "ties",
    "slurs",
    "hairpins",
    "levels",
    "words",
    "articulations",
    "ornaments",
    "technical",
    "tremolos",
    "tuplets",
    "tempos",
    "rehearsals",
)
COUNTED = {
    "word": ("words",),
    "articulation": ("articulations",),
    "breath": ("articulations",),
    "ornament": ("ornaments",),
    "tremolo": ("ornaments", "tremolos"),
    "technical": ("technical",),
    "rehearsal": ("rehearsals",),
}


def _count_notes(part: Part) -> dict[str, int]:
    rests = sum(note.kind == "rest" for note in part.notes)
    return {
        "notes": len(part.notes) - rests,
        "rests": rests,
        "graces": sum(note.grace for note in part.notes),
        "chords": sum(note.chord for note in part.notes),
    }


def _count_spans(part: Part) -> dict[str, int]:
    started = Counter(span.kind for span in part.spans if span.start is not None)
    return {name: started[kind] for name, kind in STARTS.items()}


def _count_mark(mark: Mark) -> tuple[str, ...]:
    if mark.kind == "level":
        return _count_level(mark)
    if mark.kind == "tempo":
        return ("tempos",) if mark.name == "metronome" else ()
    if mark.kind == "ornament" and ("element", "other-articulation") in mark.attributes:
        return ("articulations",)  # counted as the element that the file has
    return COUNTED.get(mark.kind, ())


def _count_level(mark: Mark) -> tuple[str, ...]:
    attributes = dict(mark.attributes)
    if attributes.get("from") == "words":
        return ("words",)
    if attributes.get("within") == "words" or attributes.get("continues") == "yes":
        return ()
    return ("levels",)
