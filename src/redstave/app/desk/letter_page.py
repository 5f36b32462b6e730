"""What the page of a letter shows and writes: its texts, its remarks in their order, its forms."""

from collections.abc import Sequence
from dataclasses import asdict
from typing import Any

from redstave import store
from redstave.analysis import Analysis
from redstave.app.desk.opened import Opened
from redstave.app.desk.pdf_process import pdf
from redstave.app.letter_of import CLOSING, NEXT_STEP, OPENING, letter_of
from redstave.app.letters import FORMS, Material
from redstave.base.errors import InputError
from redstave.model.letter import Letter
from redstave.model.remark import Remark, RemarkKind
from redstave.model.season import Stage
from redstave.render.compose import whole_piece
from redstave.render.critique import Critique, critique
from redstave.render.critique_compose import KINDS, compose_critique
from redstave.render.critique_counts import count, notes_for_the_teacher
from redstave.render.critique_pictures import Medium
from redstave.render.critique_strips import carrier_strips
from redstave.render.critique_template import design
from redstave.render.critique_view import Strip
from redstave.store import Season

Json = dict[str, Any]
DATE = "date"  # the draft in which the date of the letter is kept

#: The files a letter goes out as: the end of the name, the form it is part of, what it is.
FILES = {
    "html": ("html", "Letter, for the screen"),
    "pdf": ("pdf", "Letter, PDF"),
    "txt": ("txt", "Letter, plain text"),
    "musicxml": ("musicxml", "The score with the remarks in it"),
    "script.txt": ("txt", "Script to read aloud, bar by bar"),
    "captions.vtt": ("vtt", "Captions for a recorded talk"),
    "chapters.vtt": ("vtt", "Chapters for a recorded talk"),
    "remarks.csv": ("csv", "Remarks as a table"),
    "grades.csv": ("csv", "Grades as a table"),
}


def letter_page(season: Season, opened: Opened) -> Json:
    """Return the letter as the teacher edits it, with its counts and what it still lacks."""
    letter = _letter(season, opened.code)
    texts = {draft.field: draft.text for draft in store.read_drafts(season, opened.code)}
    entry = store.read_entry(season, opened.code)
    return {
        "texts": {field: texts.get(field, "") for field in (OPENING, NEXT_STEP, CLOSING, DATE)},
        "suggested": {
            OPENING: letter.opening if "opening" in letter.suggested else "",
            NEXT_STEP: letter.next_step if "next_step" in letter.suggested else "",
        },
        "groups": [
            {"name": name, "title": title, "remarks": [_remark(*one) for one in some]}
            for name, title, some in _groups(letter)
        ],
        "kinds": [(str(kind), words) for kind, words in KINDS.items()],
        "criteria": [(one.key, one.name) for one in store.read_criteria(season).criteria],
        "state": str(entry.stage),
        "files": [(name, words) for name, (_, words) in FILES.items()],
        **letter_counts(season, opened),
    }


def letter_counts(season: Season, opened: Opened) -> Json:
    """Return the words and remarks of a letter, and what it still lacks."""
    letter = _letter(season, opened.code)
    notes = notes_for_the_teacher(letter, opened.review, opened.analysis.score)
    return {"counts": asdict(count(letter)), "notes": list(notes)}


def _letter(season: Season, code: str) -> Letter:
    return letter_of(season, code, store.read_draft(season, code, DATE).text.strip())


def _groups(letter: Letter) -> list[tuple[str, str, list[tuple[int, Remark]]]]:
    numbers = {remark.id: number for number, remark in letter.numbered}

    def numbered(remarks: Sequence[Remark]) -> list[tuple[int, Remark]]:
        return [(numbers[one.id], one) for one in remarks]

    return [
        ("strengths", "What works", numbered(letter.strengths)),
        ("main", "What matters most", numbered(letter.main_points)),
        ("smaller", "Smaller points, by bar", numbered(letter.smaller_points)),
    ]


def _remark(number: int, remark: Remark) -> Json:
    return {
        "number": number,
        "id": remark.id,
        "kind": str(remark.kind),
        "weight": str(remark.weight),
        "place": remark.place or "the whole piece",
        "text": remark.text,
        "why": remark.why,
        "way_out": remark.way_out,
        "criterion": remark.criterion,
        "revision": remark.revision,
        "praise": remark.kind is RemarkKind.PRAISE,
        "bar": min((spot.bar for spot in remark.spots), default=None),
        "tried": list(remark.trial.words) if remark.trial else [],
    }


def order(season: Season, code: str, ids: Sequence[str]) -> None:
    """Put remarks into the given order; others follow as they were."""
    store.order_remarks(season, code, ids)


def set_state(season: Season, code: str, state: Stage) -> None:
    """Say how far the letter is: in reading, written or sent."""
    if state not in (Stage.READING, Stage.WRITTEN, Stage.SENT):
        raise InputError("a letter is in reading, written or sent")
    store.set_stage(season, code, state)


def preview(season: Season, opened: Opened) -> str:
    """Return the letter as it will go out, as a page for the screen."""
    return _drawn(season, opened).html()


def letter_file(season: Season, opened: Opened, name: str) -> bytes:
    """Return one of FILES, by the end of its name."""
    if name not in FILES:
        raise InputError(f"a letter has no file {name}")
    if name == "html":
        return preview(season, opened).encode()
    if name == "pdf":
        return pdf(_drawn(season, opened).html(Medium.PAPER))
    letter = _letter(season, opened.code)
    made = Material(letter, opened.review, opened.analysis, opened.xml, design())
    return FORMS[FILES[name][0]](made)[f".{name}"]


def _drawn(season: Season, opened: Opened) -> Critique:
    """Return the letter with its pictures, cut from the page that lies open already."""
    strips = opened.analysis.remember(_strips)
    letter = _letter(season, opened.code)
    view = compose_critique(letter, opened.review, opened.analysis, strips)
    return critique(view, opened.page, design())


def _strips(analysis: Analysis) -> tuple[Strip, ...]:
    return carrier_strips(analysis, whole_piece(analysis))
