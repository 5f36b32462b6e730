"""Which bars and staves to show for a finding."""

from collections.abc import Iterator, Mapping, Sequence

from redstave.model.finding import Finding, Spot
from redstave.model.score import Score
from redstave.render.excerpt import LONGEST, ExcerptRequest
from redstave.render.wording import bar_list, part_list

MOST_EXCERPTS = 2
MOST_PARTS = 8

Sounding = Mapping[str, frozenset[int]]  # by part: the bars in which it does not rest


def requests(
    finding: Finding, score: Score, beside: Sequence[str] = (), sounding: Sounding | None = None
) -> tuple[ExcerptRequest, ...]:
    """Return what to engrave for a finding: its first places, at most two stretches of bars.

    `beside` are the ids of parts that should be seen with it, such as those that cover a tune;
    of these only the ones that sound there are shown, as far as `sounding` tells.
    """
    shown = list(_stretches(finding.spots))[:MOST_EXCERPTS]
    return tuple(_request(spots, score, beside, sounding) for spots in shown)


def _stretches(spots: Sequence[Spot]) -> Iterator[list[Spot]]:
    """Yield spots in order of place, those together that fit into one excerpt."""
    together: list[Spot] = []
    for spot in sorted(spots):
        if together and spot.last_bar > together[0].bar + LONGEST - 1:
            yield together
            together = []
        together.append(spot)
    if together:
        yield together


def _request(
    spots: Sequence[Spot], score: Score, beside: Sequence[str], sounding: Sounding | None
) -> ExcerptRequest:
    first = min(spot.bar for spot in spots)
    last = max(spot.last_bar for spot in spots)
    if first == last and first > 0:
        first -= 1  # what came before: the rest before an entry, the note before a leap
    concerned = list(dict.fromkeys(spot.part for spot in spots))
    heard = range(first, min(last, first + LONGEST - 1) + 1)
    others = [
        part
        for part in beside
        if part not in concerned
        and (sounding is None or not sounding.get(part, frozenset()).isdisjoint(heard))
    ]
    parts = tuple((concerned + others)[:MOST_PARTS])
    notes = tuple(note for spot in spots for note in spot.notes)
    brackets = tuple(
        (bar, spot.part, spot.stave)
        for spot in spots
        if not spot.notes
        for bar in range(spot.bar, spot.last_bar + 1)
    )
    mark = "ringed" if notes else "bracketed"
    title = f"{_capital(bar_list(spots, score))}: {part_list(spots, score)}, {mark} in red."
    return ExcerptRequest(first, last, parts, notes, brackets, title)


def _capital(words: str) -> str:
    return words[:1].upper() + words[1:]
