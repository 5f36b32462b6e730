"""From a finished letter, its review and its analysis to everything the pages of it show."""

from collections import defaultdict
from collections.abc import Iterable, Mapping, Sequence

from redstave.analysis import Analysis
from redstave.checks import catalogue
from redstave.model.finding import Evidence, Finding, Spot
from redstave.model.grade import Criterion, GradeSheet
from redstave.model.letter import Letter
from redstave.model.remark import Remark, RemarkKind, Weight, finding_key
from redstave.model.review import Review
from redstave.render.compose import beside_parts, sounding_bars, whole_piece
from redstave.render.critique_strips import carrier_strips
from redstave.render.critique_view import (
    Answered,
    CitedSource,
    CriterionView,
    CritiqueView,
    Paragraphs,
    PointView,
    Strip,
)
from redstave.render.excerpt import LONGEST, ExcerptRequest
from redstave.render.figures import in_a_line
from redstave.render.heard_picture import heard_words
from redstave.render.places import Sounding, requests
from redstave.render.remark_places import place_of, spots_on
from redstave.render.sources import cited
from redstave.render.typed import one_line, paragraphs, shortened_to
from redstave.render.units import explained
from redstave.render.view import WholePiece
from redstave.render.wording import kept_words

KINDS = {
    RemarkKind.PRAISE: "Well done",
    RemarkKind.QUESTION: "A question",
    RemarkKind.WAY_OUT: "Another way",
    RemarkKind.FIX: "To be mended",
}
MOST_PICTURES = {Weight.MAIN: 2, Weight.SMALL: 0}
PICTURES_OF_PRAISE = 1
COMMON_PRACTICE, UNWRITTEN = "common-practice", "Common practice, without a written source"
LONGEST_ANSWERED = 120  # characters of a remark that has been taken up
LONGEST_GIST = 80  # characters of a remark in the contents


def compose_critique(
    letter: Letter,
    review: Review,
    analysis: Analysis,
    strips: Sequence[Strip] = (),
    pictured: bool = True,
) -> CritiqueView:
    """Gather a letter with the evidence of the findings it came from.

    `strips` are ready pictures for the page of the whole piece, beside those of the original's
    voices; without `pictured` nothing is gathered for that page, and no hearing is computed.
    """
    whole = whole_piece(analysis) if pictured else WholePiece(())
    carried = carrier_strips(analysis, whole) if pictured else ()
    maker = _Maker(review, analysis, letter)
    strengths, main = maker.points(letter.strengths), maker.points(letter.main_points)
    smaller = maker.points(letter.smaller_points)
    sheet = letter.grades if letter.grades and letter.grades.grades else None
    return CritiqueView(
        entry=one_line(letter.entry),
        season=one_line(letter.season),
        teacher=one_line(letter.teacher),
        date=one_line(letter.date),
        opening=paragraphs(letter.opening),
        strengths=strengths,
        main=main,
        smaller=smaller,
        criteria_name=one_line(sheet.criteria.name) if sheet else "",
        criteria=tuple(_criteria(sheet)) if sheet else (),
        total=sheet.total if sheet else None,
        next_step=paragraphs(letter.next_step),
        closing=paragraphs(letter.closing),
        whole=whole,
        strips=(*carried, *strips),
        sources=tuple(_sources(letter)),
        suggested=letter.suggested,
        answered=tuple(map(_answered, letter.answered)),
        heard_in=_heard_in(review),
        units=explained(_all_texts((*strengths, *main, *smaller))),
    )


class _Maker:
    """Makes the view of one remark; knows the findings and the score."""

    def __init__(self, review: Review, analysis: Analysis, letter: Letter) -> None:
        self._analysis = analysis
        self._findings = {finding_key(finding): finding for finding in review.findings}
        self._sounding: Sounding = sounding_bars(analysis.score)
        self._numbers = {id(remark): number for number, remark in letter.numbered}
        named = letter.grades.criteria.criteria if letter.grades else ()
        self._criteria: Mapping[str, str] = {one.key: one_line(one.name) for one in named}

    def points(self, remarks: Iterable[Remark]) -> tuple[PointView, ...]:
        """Return remarks as the letter shows them."""
        return tuple(self._point(remark, self._numbers[id(remark)]) for remark in remarks)

    def _point(self, remark: Remark, number: int) -> PointView:
        finding = self._findings.get(remark.finding)
        return PointView(
            number=number,
            anchor=f"remark-{number}",
            kind=remark.kind.value,
            kind_words=KINDS[remark.kind],
            place=place_of(remark, self._analysis.score),
            text=paragraphs(remark.text),
            why=paragraphs(remark.why),
            way_out=paragraphs(remark.way_out),
            criterion=self._criteria.get(remark.criterion, one_line(remark.criterion)),
            gist=self._gist(remark, finding),
            measured=self._title(finding),
            evidence=self._evidence(finding),
            requests=self._requests(remark, finding),
            trial=remark.trial,
        )

    def _title(self, finding: Finding | None) -> str:
        return kept_words(finding, self._analysis.score).title if finding else ""

    def _gist(self, remark: Remark, finding: Finding | None) -> str:
        """Return the beginning of the teacher's words; for our own the title of the check.

        Ours begin with the bars, which the contents name anyway.
        """
        if finding is not None:
            words = kept_words(finding, self._analysis.score)
            if one_line(remark.text) in (words.statement, words.question):
                return words.title
        return shortened_to(remark.text, LONGEST_GIST)

    def _evidence(self, finding: Finding | None) -> tuple[Evidence, ...]:
        return finding.evidence if finding else ()

    def _requests(self, remark: Remark, finding: Finding | None) -> tuple[ExcerptRequest, ...]:
        """Return what to engrave: the places of the remark, and what its finding names beside."""
        praise = remark.kind is RemarkKind.PRAISE
        most = PICTURES_OF_PRAISE if praise else MOST_PICTURES[remark.weight]
        spots = tuple(one for one in spots_on(remark, self._analysis.score) if one.part)
        if not spots or not most or (praise and not _can_be_shown(remark, spots)):
            return ()
        beside = beside_parts(finding, self._analysis) if finding else ()
        placed = Finding(remark.slug, spots, ())
        return requests(placed, self._analysis.score, beside, self._sounding)[:most]


def _all_texts(points: Iterable[PointView]) -> Iterable[str]:
    """Yield all that remarks say, their figures too."""
    for one in points:
        yield from (*one.text, *one.why, *one.way_out, in_a_line(one.evidence))
        if one.trial is not None:
            yield from (*one.trial.words, *map(heard_words, one.trial.heard))


def _answered(remark: Remark) -> Answered:
    """Return an answered remark; its bars are those of the earlier version, as told then."""
    return Answered(one_line(remark.place), shortened_to(remark.text, LONGEST_ANSWERED))


def _sources(letter: Letter) -> Iterable[CitedSource]:
    """Yield what the checks behind the remarks lean on, in order of the bibliography."""
    leaning: dict[str, list[int]] = defaultdict(list)
    for number, remark in letter.numbered:
        for key in catalogue()[remark.slug].sources if remark.slug in catalogue() else ():
            leaning[key].append(number)
    for key in sorted(leaning):
        (source,) = cited([key])
        unread = key == COMMON_PRACTICE
        title, read = (UNWRITTEN, "") if unread else (source.title, source.read)
        yield CitedSource(title, read, _named(leaning[key]))


def _named(numbers: Sequence[int]) -> str:
    """Return "remark 4" or "remarks 4–6, 9"."""
    runs: list[list[int]] = []
    for number in numbers:
        if runs and number == runs[-1][-1] + 1:
            runs[-1].append(number)
        else:
            runs.append([number])
    words = [str(run[0]) if len(run) == 1 else f"{run[0]}–{run[-1]}" for run in runs]
    return f"{'remark' if len(numbers) == 1 else 'remarks'} {', '.join(words)}"


def _heard_in(review: Review) -> str:
    """Return the forces and the hall; a hall's description may begin like a sentence."""
    hall = review.provenance.hall
    hall = f"{hall[:1].lower()}{hall[1:]}" if hall.startswith(("A ", "The ")) else hall
    return f"strings {review.provenance.forces} in {hall}"


def _can_be_shown(remark: Remark, spots: Sequence[Spot]) -> bool:
    """Tell whether praise has a place to be pictured: notes, or a few bars the teacher chose."""
    bars = 1 + max(spot.last_bar for spot in spots) - min(spot.bar for spot in spots)
    return any(spot.notes for spot in spots) or (not remark.finding and bars <= LONGEST)


def _criteria(sheet: GradeSheet) -> Iterable[CriterionView]:
    given = {grade.criterion: grade for grade in sheet.grades}
    whole = sum(one.weight for one in sheet.criteria.criteria) or 1.0
    for one in sheet.criteria.criteria:
        grade = given.get(one.key)
        yield _criterion(
            one,
            grade.points if grade else None,
            100.0 * one.weight / whole,
            paragraphs(grade.note) if grade else (),
        )


def _criterion(
    criterion: Criterion, points: float | None, share: float, note: Paragraphs
) -> CriterionView:
    band = criterion.band(points) if points is not None else None
    return CriterionView(
        one_line(criterion.name),
        one_line(criterion.descriptor),
        points,
        criterion.points,
        share,
        one_line(band.name) if band else "",
        one_line(band.descriptor) if band else "",
        note,
        tuple((one_line(one.name), one.at_least) for one in criterion.bands),
    )
