"""The letter as plain text: wrapped lines, levels in letters, nothing but words."""

import textwrap
from collections.abc import Iterable, Iterator, Sequence

from redstave.model.finding import Evidence
from redstave.model.remark import LinkedTrial
from redstave.render.critique_view import Answered, CriterionView, CritiqueView, PointView
from redstave.render.figures import in_a_line
from redstave.render.heard_picture import heard_words
from redstave.render.typed import lettered

WIDTH = 76
INDENT = "    "
CAUTION = (
    "Whatever is said here about sound is an estimate, with the uncertainty given beside it. "
    "The ear and the rehearsal decide."
)


def critique_text(view: CritiqueView) -> str:
    """Return a composed letter as plain text that ends in a line feed."""
    blocks = [*_head(view), *_remarks(view), *_grades(view), *_end(view)]
    return lettered("\n\n".join(filter(None, blocks))) + "\n"


def wrapped(paragraphs: Iterable[str], indent: str = "", first: str = "") -> str:
    """Return paragraphs in lines of at most WIDTH characters, single line breaks kept.

    `first` stands before the first of them, in place of its indentation.
    """
    blocks: list[str] = []
    for paragraph in paragraphs:
        lines: list[str] = []
        for line in paragraph.split("\n"):
            begin = first if first and not blocks and not lines else indent
            lines += textwrap.wrap(
                line, WIDTH, initial_indent=begin, subsequent_indent=indent, tabsize=4
            )
        blocks.append("\n".join(lines))
    return "\n\n".join(blocks)


def _head(view: CritiqueView) -> Iterator[str]:
    signed = ", ".join(filter(None, [f"A critique by {view.teacher}", view.date]))
    yield "\n".join(wrapped([one]) for one in (view.entry, view.season, signed) if one)
    yield "=" * WIDTH
    yield wrapped(view.opening)
    if view.answered:
        yield "Taken up since the earlier version:"
        yield "\n".join(wrapped([_answered(one)], "  ", "- ") for one in view.answered)


def _answered(one: Answered) -> str:
    return f"{one.place}: {one.text}" if one.place else one.text


def _remarks(view: CritiqueView) -> Iterator[str]:
    for heading, points in (
        ("What works", view.strengths),
        ("What matters most", view.main),
        ("Smaller points, bar by bar", view.smaller),
    ):
        if points:
            yield _heading(heading)
            yield from map(_point, points)


def _point(point: PointView) -> str:
    praise = point.kind == "praise"
    about = ", ".join(filter(None, ["" if praise else point.kind_words, point.criterion]))
    place = f"{point.place} ({about})" if about else point.place
    why, way_out = ("Why it works", "From here") if praise else ("Why it matters", "A way out")
    blocks = [
        wrapped([place], INDENT, f"[{point.number}] "),
        wrapped(point.text, INDENT),
        wrapped(_labelled(why, point.why), INDENT),
        wrapped(_labelled(way_out, point.way_out), INDENT),
        *(wrapped([one], INDENT) for one in _tried(point.trial)),
        wrapped(_measured(point.measured, point.evidence), INDENT),
    ]
    return "\n".join(filter(None, blocks))


def _labelled(label: str, paragraphs: Sequence[str]) -> Iterator[str]:
    for at, one in enumerate(paragraphs):
        yield one if at else f"{label}: {one}"


def _tried(trial: LinkedTrial | None) -> Iterator[str]:
    if trial is not None:
        yield from _labelled("Tried", trial.words)
        yield from (heard_words(one) for one in trial.heard)


def _measured(title: str, evidence: Sequence[Evidence]) -> Iterator[str]:
    if evidence:
        yield f"Measured ({title}): {in_a_line(evidence)}"


def _grades(view: CritiqueView) -> Iterator[str]:
    if view.criteria:
        yield _heading("By criterion")
        yield from map(_criterion, view.criteria)
    if view.total is not None:
        yield f"Altogether {view.total:.0f} of 100"


def _criterion(one: CriterionView) -> str:
    points = "not graded" if one.points is None else f"{one.points:g} of {one.most:g}"
    band = f"{one.band}, " if one.band else ""
    head = f"{one.name}: {band}{points} ({one.share:.0f} % of the whole)"
    note = wrapped(one.note, INDENT)
    return "\n".join(filter(None, [wrapped([head], INDENT, " "), note])).lstrip(" ")


def _end(view: CritiqueView) -> Iterator[str]:
    if view.next_step:
        yield _heading("One next step")
        yield wrapped(view.next_step)
    yield wrapped(view.closing)
    yield wrapped([view.teacher])
    yield _heading("Sources, and a caution")
    yield wrapped([CAUTION])
    yield wrapped([f"Reckoned for {view.heard_in}."]) if view.heard_in else ""
    yield wrapped(view.units)
    yield "\n".join(
        wrapped(
            [f"{' '.join(filter(None, [f'{one.title}.', one.read]))} ({one.behind})"], "  ", "- "
        )
        for one in view.sources
    )


def _heading(words: str) -> str:
    return f"{words}\n{'-' * len(words)}"
