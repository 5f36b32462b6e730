"""How long a letter is and what it lacks: for the teacher, never in the letter itself."""

from collections.abc import Iterator
from dataclasses import dataclass

from redstave.model.letter import MOST_MAIN, Letter
from redstave.model.remark import finding_key
from redstave.model.review import Review
from redstave.model.score import Score
from redstave.render.remark_places import spots_on
from redstave.render.typed import one_line

LEAST_STRENGTHS = 2  # earned strengths with places: common practice of written feedback, no source


@dataclass(frozen=True, slots=True)
class LetterCounts:
    """Words that the teacher wrote, and remarks by where they stand."""

    words: int
    remarks: int
    strengths: int
    main: int
    smaller: int


def count(letter: Letter) -> LetterCounts:
    """Count a letter: all that is typed in it, from the opening to the notes on the grades."""
    typed = [letter.opening, letter.next_step, letter.closing]
    typed += [words for one in letter.remarks for words in (one.text, one.why, one.way_out)]
    typed += [grade.note for grade in letter.grades.grades] if letter.grades else []
    return LetterCounts(
        words=sum(len(one_line(words).split()) for words in typed),
        remarks=len(letter.remarks),
        strengths=len(letter.strengths),
        main=len(letter.main_points),
        smaller=len(letter.smaller_points),
    )


def notes_for_the_teacher(letter: Letter, review: Review, score: Score) -> tuple[str, ...]:
    """Say what the letter still lacks, or could not show, one sentence each."""
    return (*_of_the_whole(letter), *_of_remarks(letter, review, score))


def _of_the_whole(letter: Letter) -> Iterator[str]:
    if len(letter.main_points) > MOST_MAIN:
        yield (
            f"There are {len(letter.main_points)} main points; more than {MOST_MAIN} are hard to "
            "take in: make some of them small."
        )
    if len(letter.strengths) < LEAST_STRENGTHS:
        yield f"Fewer than {LEAST_STRENGTHS} strengths are named."
    if not letter.next_step.strip():
        yield "No next step is given."
    for name in letter.suggested:
        yield f"The {name.replace('_', ' ')} is a suggestion; write your own."
    if letter.grades and not letter.grades.grades:
        yield "No criterion is graded, so the letter shows none."
    elif letter.grades and not letter.grades.complete:
        yield "Not every criterion is graded, so there is no total."


def _of_remarks(letter: Letter, review: Review, score: Score) -> Iterator[str]:
    known = {finding_key(finding) for finding in review.findings}
    for number, remark in letter.numbered:
        if remark.finding and remark.finding not in known:
            yield (
                f"Remark {number} came from a finding that the newest review does not make; "
                "its evidence is left out."
            )
        if len(spots_on(remark, score)) < len(remark.spots):
            yield f"Remark {number} names a place that this version of the score does not have."
    lacking = [str(number) for number, one in letter.numbered if not one.text.strip()]
    if lacking:
        yield f"Remarks without words: {', '.join(lacking)}."
