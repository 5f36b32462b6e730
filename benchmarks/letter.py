"""Writing a letter of forty remarks over a real score.

From a letter, its review and the score's bytes to finished files: five main points and three
strengths with excerpts, thirty-two smaller points, the hearing ribbons and the level plan of the
whole piece. *Reading* and *hearing* are what every use of the score needs; the letter itself is the
rest. Seconds by the clock; for page and PDF together also the processor's, with those of the
engraver, since a machine at other work makes the clock run on. The demand is ten seconds by the
clock for page and PDF.
"""

import resource
import time
from collections.abc import Callable
from functools import partial
from pathlib import Path
from typing import TypeVar

from redstave import app
from redstave.analysis import Analysis
from redstave.app.letters import Material, letter_files
from redstave.model.finding import Spot
from redstave.model.grade import Band, Criteria, Criterion, Grade, GradeSheet
from redstave.model.letter import Letter
from redstave.model.remark import Heard, LinkedTrial, Remark, RemarkKind, Weight, finding_key
from redstave.model.review import Review
from redstave.reading import xml_of
from redstave.render.critique_template import design

SCORES = Path(__file__).resolve().parents[2] / "shared" / "scores" / "orchestra"
NAMES = ("Brahms_Op.68_3.mxl", "Boulanger_Dun_matin_de_printemps.mxl")
CHECKS = ("entry-level-missing", "uneven-level-in-choir", "tune-covered", "division-not-marked")
STRENGTHS, MAIN, REMARKS = 3, 5, 40
FORMS = ("html", "pdf", "musicxml", "vtt", "csv", "txt")
DEMAND_S = 10.0

Made = TypeVar("Made")


def table() -> str:
    """Measure a letter over each score; FileNotFoundError where the scores are not there."""
    heads = "".join(f" {form} |" for form in FORMS)
    rows = [
        f"| score | parts | bars | reading | hearing |{heads} page and PDF | processor |",
        "|---|---:|---:|---:|---:|" + "---:|" * (len(FORMS) + 2),
    ]
    return "\n".join([*rows, *(_row(SCORES / name) for name in NAMES)])


def _row(path: Path) -> str:
    analysis, reading = _timed(lambda: app.open_entry(path))
    _, hearing = _timed(lambda: app.prepare(analysis))
    review = app.review(analysis, path.stem, app.choose(only=CHECKS))
    xml, _, _ = xml_of(path.read_bytes(), path.name)
    of = Material(_letter(analysis, review), review, analysis, xml, design())
    begun = _processor()
    times = [_timed(partial(letter_files, of, [form]))[1] for form in FORMS[:2]]
    spent, both = _processor() - begun, sum(times)
    times += [_timed(partial(letter_files, of, [form]))[1] for form in FORMS[2:]]
    met = "met" if both <= DEMAND_S else "missed"
    score = analysis.score
    cells = [
        path.stem,
        len(score.parts),
        len(score.bars),
        *(f"{t:.1f}" for t in (reading, hearing)),
    ]
    cells += [f"{t:.1f}" for t in times]
    return f"| {' | '.join(map(str, cells))} | {both:.1f} ({met}) | {spent:.1f} |"


def _timed(work: Callable[[], Made]) -> tuple[Made, float]:
    start = time.perf_counter()
    return work(), time.perf_counter() - start


def _processor() -> float:
    children = resource.getrusage(resource.RUSAGE_CHILDREN)
    return time.process_time() + children.ru_utime + children.ru_stime


def _letter(analysis: Analysis, review: Review) -> Letter:
    """Return a letter of forty remarks: from findings where there are enough, else of our own."""
    remarks = [_from_finding(review, n) for n in range(min(REMARKS, len(review.faults)))]
    remarks += [_own(analysis, n) for n in range(len(remarks), REMARKS)]
    bands = (Band("Not yet", 0, "Seldom."), Band("Good", 12, "Mostly."))
    criteria = tuple(
        Criterion(f"c{n}", f"Criterion {n}", "What is asked.", 1, 20, bands) for n in range(5)
    )
    grades = tuple(Grade(one.key, 13, "Nearly everywhere.") for one in criteria)
    opening, step = "Thank you.\n\nI have read it twice.", "One bar again."
    sheet = GradeSheet(Criteria("Criteria", criteria), grades)
    return Letter("heron", "A season", "A teacher", opening, step, tuple(remarks), sheet)


def _place(number: int) -> tuple[RemarkKind, Weight]:
    if number < STRENGTHS:
        return RemarkKind.PRAISE, Weight.SMALL
    main = number < STRENGTHS + MAIN
    return RemarkKind.FIX, Weight.MAIN if main else Weight.SMALL


def _from_finding(review: Review, number: int) -> Remark:
    finding = review.faults[number]
    kind, weight = _place(number)
    heard = tuple(Heard(f"Line {n}", -3.0 + n, 4.0 + n, 4.0, "covered", "heard") for n in range(4))
    trial = LinkedTrial("", ("Mark the brass one level softer.",), heard)
    return Remark(
        f"r{number}", kind, "This will not be heard as it is meant. " * 4, finding.spots,
        why="The ear follows what it can pick out. " * 2, way_out="Bring the others down. " * 2,
        criterion="c1", weight=weight, order=number, finding=finding_key(finding),
        slug=finding.slug, trial=trial if weight is Weight.MAIN else None,
    )  # fmt: skip


def _own(analysis: Analysis, number: int) -> Remark:
    score = analysis.score
    bar = number * len(score.bars) // REMARKS
    part = score.parts[number % len(score.parts)]
    notes = tuple(note.id for note in part.notes if note.bar == bar)
    kind, weight = _place(number)
    spots = (Spot(bar, 0, part.id, 1, min(bar + 2, len(score.bars) - 1), notes),)
    return Remark(
        f"r{number}", kind, "Look at this again. " * 5, spots, weight=weight, order=number
    )
