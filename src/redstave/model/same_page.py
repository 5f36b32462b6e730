"""Tells whether two scores are the same page, whatever files they were read from.

The page is everything that is printed or told: every note, mark and span with all it says, in its
order and place, the bars, the parts with their headings, the brackets, titles and makers. What
belongs to the file alone is left out: its name and digest, lines and paths, which children a
`<note>` had, the problems met in reading it, the program that wrote it and when, and ids that only
repeat ours.
"""

from redstave.model.score import Anchor, Attributes, Inner, Mark, Note, Origin, Part, Score, Span

OF_THE_FILE = frozenset(["software", "encoding-date", "supports"])
SECOND = frozenset([("continues", "yes"), ("within", "words")])
NOWHERE = Origin("", "", "")


def same_page(one: Score, other: Score) -> bool:
    """Tell whether two scores are the same page."""
    return page_of(one) == page_of(other)


def page_of(score: Score) -> Score:
    """Return a score without what belongs to its file alone."""
    return Score(
        score.title,
        score.ticks_per_quarter,
        score.bars,
        tuple(_part(score, part) for part in score.parts),
        score.groups,
        (),
        NOWHERE,
        tuple(item for item in score.metadata if item[0] not in OF_THE_FILE),
        tuple(one for one in map(_unsigned, score.head) if one != UNSAID),
    )


UNSAID = Inner("identification")


def _unsigned(element: Inner) -> Inner:
    if element.name != UNSAID.name:
        return element
    inside = tuple(one for one in element.inside if one.name != "encoding")
    return element._replace(text="", inside=inside)


def _part(score: Score, part: Part) -> Part:
    return Part(
        part.id,
        part.name,
        part.abbreviation,
        part.staves,
        part.instruments,
        tuple(_note(note) for note in part.notes),
        tuple(_mark(mark) for mark in part.marks),
        tuple(_span(span) for span in part.spans),
        bar_attributes=tuple(
            _bar(given, f"{part.id}.{index}", score.bars[index].number)
            for index, given in enumerate(part.bar_attributes)
        ),
        bar_contents=part.bar_contents,
        heading=part.heading or (Inner("part-name", part.name),),
    )


def _bar(given: Attributes, own: str, number: str) -> Attributes:
    said = {"number": number, **dict(given)}
    return tuple(sorted(item for item in said.items() if item != ("id", own)))


def _without(attributes: Attributes, own: str) -> Attributes:
    return tuple(item for item in attributes if item != ("id", own))


def _note(note: Note) -> Note:
    # The order of different children is that of MusicXML, whatever it was in a damaged file.
    details = sorted(_without(note.details, note.id), key=lambda item: item[0].partition("-")[0])
    return note._replace(line=0, path="", shape=(), details=tuple(details))


def _mark(mark: Mark) -> Mark:
    attributes = _without(mark.attributes, mark.id)
    if SECOND & set(attributes):  # the element's id is that of its first mark
        attributes = tuple(item for item in attributes if item[0] != "id")
    return mark._replace(line=0, path="", attributes=attributes)


def _span(span: Span) -> Span:
    return span._replace(
        start=_anchor(span.start),
        stop=_anchor(span.stop),
        attributes=_without(span.attributes, span.id),
    )


def _anchor(anchor: Anchor | None) -> Anchor | None:
    return None if anchor is None else anchor._replace(line=0, path="")
