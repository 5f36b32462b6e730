"""Asks a Score questions in a few words, and answers in a few words.

The questions stand in `tests/corpus/conformance.toml` with the answers that the files of the
unofficial MusicXML test suite ask for in their own descriptions. A question is a word and, where it
needs them, further words: `spans slur`, `lengths P1 2`. Places are "bar:beat", both counted from 1,
beats in quarters; bars by their order in the file.
"""

from collections.abc import Callable, Iterable, Iterator
from fractions import Fraction

from redstave.model.score import Anchor, Mark, Note, Part, Score

SEMITONES = ("C", "C#", "D", "D#", "E", "F", "F#", "G", "G#", "A", "A#", "B")
SIGNS = {-2.0: "bb", -1.5: "dbb", -1.0: "b", -0.5: "db", 0.5: "+", 1.0: "#", 1.5: "#+", 2.0: "##"}


def answer(score: Score, question: str) -> str:
    """Return the answer to a question; KeyError if there is no such question."""
    name, *words = question.split()
    return QUESTIONS[name](score, *words)


def agrees(given: str, expected: str) -> bool:
    """Tell whether an answer is the one expected; "*" at the end leaves the rest open."""
    if expected.endswith("*") and expected[-2:-1] in ("", " "):
        return given.startswith(expected[:-1].rstrip())
    return given == expected


def _notes(score: Score, part: str = "", voice: str = "") -> Iterator[Note]:
    for each in score.parts:
        if part in ("", each.id):
            yield from (note for note in each.notes if voice in ("", note.voice))


def _marks(score: Score, *kinds: str) -> Iterator[Mark]:
    return (mark for part in score.parts for mark in part.marks_of(*kinds))


def _beat(score: Score, bar: int, offset: int) -> str:
    return f"{bar + 1}:{_number(1 + Fraction(offset, score.ticks_per_quarter))}"


def _number(value: Fraction) -> str:
    whole, rest = divmod(value, 1)
    return f"{whole or ''}{'+' if whole and rest else ''}{rest or ''}" or "0"


def _place(score: Score, end: Anchor | None) -> str:
    return "?" if end is None else _beat(score, end.bar, end.offset)


def _pitch(note: Note) -> str:
    if note.kind == "rest":
        return "r"
    return f"{note.step}{SIGNS.get(note.alter, '')}{note.octave}" if note.step else "x"


def _joined(words: Iterable[object]) -> str:
    return " ".join(str(word) for word in words)


def _run(words: Iterable[object]) -> str:
    """Join words, those that stand several times in a row with their number: "a*3 b"."""
    found: list[list[object]] = []
    for word in words:
        if found and found[-1][0] == word:
            found[-1][1] = int(str(found[-1][1])) + 1
        else:
            found.append([word, 1])
    return _joined(word if count == 1 else f"{word}*{count}" for word, count in found)


def _lengths(score: Score, part: str = "", voice: str = "") -> str:
    """Lengths of notes and rests in quarters, graces "g", chord members left out."""
    ticks = score.ticks_per_quarter
    return _run(
        "g" if note.grace else _number(Fraction(note.duration, ticks))
        for note in _notes(score, part, voice)
        if not note.chord
    )


def _spans(score: Score, kind: str) -> str:
    """Both ends of each span of a kind, with its name, its line where it is not solid."""
    return _joined(
        f"{span.name or ''}{_place(score, span.start)}-{_place(score, span.stop)}"
        for part in score.parts
        for span in part.spans_of(kind)
    )


def _values(score: Score, kind: str) -> str:
    return _run(f"{mark.value:g}" for mark in _marks(score, kind))


def _names(score: Score, *kinds: str) -> str:
    return _run(mark.name for mark in _marks(score, *kinds))


def _texts(score: Score, *kinds: str) -> str:
    return " | ".join(" ".join(mark.text.split()) for mark in _marks(score, *kinds))


def _at(score: Score, *kinds: str) -> str:
    """Name (or text, if it has no own name) and place of each mark of these kinds."""
    return _joined(
        f"{mark.text.strip() if mark.kind in ('word', 'rehearsal') else mark.name}"
        f"@{_beat(score, mark.bar, mark.offset)}"
        for mark in _marks(score, *kinds)
    )


def _detail(score: Score, name: str) -> str:
    """Return what the details of the notes say under a name, in order."""
    return _run(value for note in _notes(score) for key, value in note.details if key == name)


def _attribute(score: Score, kind: str, name: str) -> str:
    return _run(dict(mark.attributes).get(name, "-") for mark in _marks(score, kind))


def _flags(score: Score, name: str) -> str:
    """How many notes have this field set."""
    return str(sum(bool(getattr(note, name)) for note in _notes(score)))


def _groups(score: Score) -> str:
    order = {part.id: str(index) for index, part in enumerate(score.parts, start=1)}
    found = sorted(
        (int(order[group.first]), int(order[group.last]), group.symbol) for group in score.groups
    )
    return _joined(f"{symbol}:{first}-{last}" for first, last, symbol in found)


def _lyrics(score: Score, number: str = "") -> str:
    return " | ".join(mark.text for mark in _marks(score, "lyric") if number in ("", mark.name))


def _ratios(score: Score) -> str:
    """Each tuplet's proportion, by the first note it starts on."""
    by_id = score.notes_by_id
    found: list[str] = []
    for part in score.parts:
        for span in part.spans_of("tuplet"):
            note = by_id[span.start.note] if span.start is not None else None
            found.append(f"{note.actual_notes}:{note.normal_notes}" if note else "?")
    return _joined(found)


def _span_attribute(score: Score, kind: str, name: str) -> str:
    return _run(
        dict(span.attributes).get(name, "-") for part in score.parts for span in part.spans_of(kind)
    )


def _span_names(score: Score, kind: str) -> str:
    return _run(span.name for part in score.parts for span in part.spans_of(kind))


def _span_pitches(score: Score, kind: str) -> str:
    """Return the pitches on which the spans of a kind begin and end."""
    by_id = score.notes_by_id
    return _joined(
        "-".join(_pitch(by_id[end.note]) for end in (span.start, span.stop) if end is not None)
        for part in score.parts
        for span in part.spans_of(kind)
    )


def _called(score: Score, name: str) -> list[Mark]:
    return [mark for part in score.parts for mark in part.marks if mark.name == name]


def _sounding(score: Score) -> str:
    """Each part's notes as they sound, all spelled with sharps."""
    return " | ".join(
        _joined(
            _named(note.written_midi + _shift(part, note))
            for note in part.notes
            if note.kind == "pitched"
        )
        for part in score.parts
    )


def _shift(part: Part, note: Note) -> float:
    moves = [mark for mark in part.marks_of("transposition") if mark.bar <= note.bar]
    return moves[-1].value if moves else 0.0


def _named(midi: float) -> str:
    octave, semitone = divmod(round(midi), 12)
    return f"{SEMITONES[semitone]}{octave - 1}"


def _staves(score: Score, part: str) -> str:
    return _run(note.stave for note in _notes(score, part) if note.kind != "rest")


def _each_part(value: Callable[[Part], object]) -> Callable[[Score], str]:
    return lambda score: " | ".join(str(value(part)) for part in score.parts)


QUESTIONS: dict[str, Callable[..., str]] = {
    "parts": _each_part(lambda part: " ".join(part.name.split())),
    "abbreviations": _each_part(lambda part: " ".join(part.abbreviation.split())),
    "staves": _each_part(lambda part: part.staves),
    "bars": lambda score: str(len(score.bars)),
    "bar-lengths": lambda score: _run(
        _number(Fraction(bar.length, score.ticks_per_quarter)) for bar in score.bars
    ),
    "numbers": lambda score: _joined(bar.number for bar in score.bars),
    "title": lambda score: score.title,
    "said": lambda score, name: " | ".join(text for key, text in score.metadata if key == name),
    "notes": lambda score, *of: str(sum(note.kind != "rest" for note in _notes(score, *of))),
    "rests": lambda score, *of: str(sum(note.kind == "rest" for note in _notes(score, *of))),
    "kinds": lambda score, *of: _run(note.kind for note in _notes(score, *of)),
    "pitches": lambda score, *of: _run(_pitch(note) for note in _notes(score, *of)),
    "onsets": lambda score, *of: _run(
        _beat(score, note.bar, note.offset) for note in _notes(score, *of)
    ),
    "lengths": _lengths,
    "types": lambda score, *of: _run(
        note.type + "." * note.dots for note in _notes(score, *of) if not note.chord
    ),
    "voices": lambda score, *of: _run(note.voice for note in _notes(score, *of)),
    "staves-of": _staves,
    "slashes": lambda score: _run("/" if n.slash else "-" for n in _notes(score) if n.grace),
    "flags": _flags,
    "detail": _detail,
    "names": _names,
    "texts": _texts,
    "values": _values,
    "at": _at,
    "attribute": _attribute,
    "spans": _spans,
    "attribute-of-span": _span_attribute,
    "names-of-span": _span_names,
    "pitches-of-span": _span_pitches,
    "names-of-mark": lambda score, name: str(len(_called(score, name))),
    "stave-of-mark": lambda score, name: _run(mark.stave for mark in _called(score, name)),
    "sounding": _sounding,
    "ids": lambda score: _joined(part.id for part in score.parts),
    "ratios": _ratios,
    "groups": _groups,
    "lyrics": _lyrics,
    "problems": lambda score: _run(problem.code for problem in score.problems),
}
