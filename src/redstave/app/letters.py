"""The finished letter of an entry, in the forms in which it goes out."""

from collections.abc import Callable, Mapping, Sequence
from dataclasses import asdict, dataclass
from functools import cached_property
from pathlib import Path

from redstave.analysis import Analysis
from redstave.app.alignment import read_alignment
from redstave.app.files import write_whole_bytes
from redstave.app.kept_entry import analysis_of, review_of, xml_of_entry
from redstave.app.letter_of import letter_of
from redstave.app.steps import Tell, prepare, quiet
from redstave.base.errors import InputError
from redstave.model.letter import Letter
from redstave.model.review import Review
from redstave.render.clock import Clock
from redstave.render.clock import Heard as HeardAt
from redstave.render.critique import Critique, critique
from redstave.render.critique_compose import compose_critique
from redstave.render.critique_counts import LetterCounts, count, notes_for_the_teacher
from redstave.render.critique_pictures import Medium
from redstave.render.critique_tables import grades_csv, remarks_csv
from redstave.render.critique_template import Design, design
from redstave.render.critique_text import critique_text
from redstave.render.critique_view import CritiqueView, Strip
from redstave.render.marked_score import marked_score
from redstave.render.page_xml import page
from redstave.render.pdf import Printer, chromium_pdf, weasyprint_pdf
from redstave.render.talk import captions, chapters, script
from redstave.store import Season

Json = dict[str, object]


@dataclass(frozen=True)
class Material:
    """All that the forms of one letter are made from.

    `xml` is the entry's uncompressed MusicXML, `recording` tells when bars are heard in a recording
    of the talk, `strips` are ready pictures of the whole piece.
    """

    letter: Letter
    review: Review
    analysis: Analysis
    xml: bytes
    look: Design
    recording: Sequence[HeardAt] = ()
    printer: Printer = Printer.WEASYPRINT
    strips: tuple[Strip, ...] = ()

    @property
    def words(self) -> CritiqueView:
        """The letter with its evidence, without what only its pictures need."""
        return compose_critique(self.letter, self.review, self.analysis, pictured=False)

    @cached_property
    def drawn(self) -> Critique:
        """The letter with its pictures."""
        view = compose_critique(self.letter, self.review, self.analysis, self.strips)
        return critique(view, page(self.xml), self.look)

    @cached_property
    def clock(self) -> Clock:
        """When each place is heard."""
        return Clock(self.analysis.score, self.analysis.playing.tempo, self.recording)


def _html(of: Material) -> Mapping[str, bytes]:
    return {".html": of.drawn.html().encode()}


def _pdf(of: Material) -> Mapping[str, bytes]:
    if of.printer is Printer.CHROMIUM:
        return {".pdf": chromium_pdf(of.drawn.html())}
    return {".pdf": weasyprint_pdf(of.drawn.html(Medium.PAPER))}


def _musicxml(of: Material) -> Mapping[str, bytes]:
    return {".musicxml": marked_score(of.letter, of.analysis.score)}


def _vtt(of: Material) -> Mapping[str, bytes]:
    told = of.letter, of.analysis.score, of.clock
    return {".captions.vtt": captions(*told).encode(), ".chapters.vtt": chapters(*told).encode()}


def _csv(of: Material) -> Mapping[str, bytes]:
    remarks = remarks_csv(of.letter, of.analysis.score)
    return {".remarks.csv": remarks.encode(), ".grades.csv": grades_csv(of.letter.grades).encode()}


def _txt(of: Material) -> Mapping[str, bytes]:
    read = script(of.letter, of.analysis.score, of.clock)
    return {".txt": critique_text(of.words).encode(), ".script.txt": read.encode()}


#: The forms of a letter: each makes one or two files, by the ending of their names.
FORMS: Mapping[str, Callable[[Material], Mapping[str, bytes]]] = {
    "html": _html,
    "pdf": _pdf,
    "musicxml": _musicxml,
    "vtt": _vtt,
    "csv": _csv,
    "txt": _txt,
}
DRAWN = ("html", "pdf")


@dataclass(frozen=True, slots=True)
class Wishes:
    """In which forms a letter is wanted, and how: see `redstave letter --help`."""

    forms: tuple[str, ...] = ("html", "pdf")
    template: Path | None = None
    recording: Path | None = None
    printer: Printer = Printer.WEASYPRINT
    date: str = ""


@dataclass(frozen=True, slots=True)
class LetterWritten:
    """What was written of one entry: files by form, counts, and what to know before sending."""

    entry: str
    files: tuple[tuple[str, Path], ...]
    counts: LetterCounts
    notes: tuple[str, ...]

    def json(self) -> Json:
        """Return it as data; the shape is documented in docs/json.md."""
        return {
            "entry": self.entry,
            "files": [{"format": form, "path": str(path)} for form, path in self.files],
            "counts": asdict(self.counts),
            "notes": list(self.notes),
        }


def parse_forms(text: str) -> tuple[str, ...]:
    """Return the forms of a letter named in a list such as "html,pdf"; InputError for others."""
    named = tuple(dict.fromkeys(filter(None, (one.strip().lower() for one in text.split(",")))))
    unknown = [one for one in named if one not in FORMS]
    if unknown or not named:
        raise InputError(
            f'a letter cannot be written as "{", ".join(unknown)}"; choose among {", ".join(FORMS)}'
        )
    return named


def letter_files(of: Material, forms: Sequence[str], tell: Tell = quiet) -> dict[str, bytes]:
    """Return the files of a letter by the ending of their names, in the order of the forms."""
    found: dict[str, bytes] = {}
    for form in forms:
        tell(form)
        found |= FORMS[form](of)
    return found


def write_letters(
    season: Season, code: str, out: Path, wishes: Wishes, tell: Tell = quiet
) -> LetterWritten:
    """Write the letter of an entry into a folder, made if need be, in every form wished for.

    Nothing is written until every form is made, and each file is whole or not there. InputError
    where the entry was not computed yet, or a form cannot be made or written.
    """
    look = design(wishes.template)
    letter = letter_of(season, code, wishes.date)
    review = review_of(season, code)
    tell("reading")
    analysis = prepare(analysis_of(season, code), tell, hearing=_is_heard(wishes.forms))
    score = analysis.score
    recording = read_alignment(wishes.recording, score) if wishes.recording else ()
    xml = xml_of_entry(season, code) if _is_heard(wishes.forms) else b""
    of = Material(letter, review, analysis, xml, look, recording, wishes.printer)
    made = {form: letter_files(of, [form], tell) for form in wishes.forms}
    files = tuple((form, out / f"{code}{ending}") for form, some in made.items() for ending in some)
    data = [one for some in made.values() for one in some.values()]
    _write(out, zip((path for _, path in files), data, strict=True))
    notes = notes_for_the_teacher(letter, review, score)
    return LetterWritten(code, files, count(letter), notes)


def _is_heard(forms: Sequence[str]) -> bool:
    """Tell whether any of the forms shows what the hall hears."""
    return any(form in DRAWN for form in forms)


def _write(out: Path, files: "zip[tuple[Path, bytes]]") -> None:
    try:
        out.mkdir(parents=True, exist_ok=True)
        for path, data in files:
            write_whole_bytes(path, data)
    except OSError as error:
        raise InputError(
            f"the letter cannot be written into {out} ({error.strerror}); choose another folder "
            "with --out"
        ) from error
