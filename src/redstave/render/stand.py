"""The page from one chair in words, to be read from top to bottom."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import groupby

from redstave.model.line import level_name
from redstave.model.score import Score
from redstave.players.calling import spoken
from redstave.players.stand.view import Entry, Passage, Sign, Stand
from redstave.render.wording import bar_name, listed

MOST_BARS = 8  # bars named in one sentence before the rest is counted
SOME_GROUPS, MOST_GROUPS = 3, 8  # places told in one paragraph
Group = tuple[tuple[int, int], list[Sign]]


@dataclass(frozen=True, slots=True)
class StandPage:
    """A title, sentences to begin with, sections (heading, text), and what stays open."""

    title: str
    lead: tuple[str, ...]
    sections: tuple[tuple[str, str], ...]
    open: tuple[str, ...]


def stand_page(stand: Stand, score: Score) -> StandPage:
    """Tell what one player sees, passage by passage."""
    words = _Words(stand, score)
    return StandPage(
        title=stand.name,
        lead=tuple(words.lead()),
        sections=tuple(
            (words.heading(number), words.passage(passage))
            for number, passage in enumerate(stand.passages)
        ),
        open=tuple(words.open()),
    )


class _Words:
    """Makes the sentences of one page."""

    def __init__(self, stand: Stand, score: Score) -> None:
        self._stand = stand
        self._score = score

    def lead(self) -> Iterator[str]:
        """Yield how much there is to play and where breath is longest."""
        stand = self._stand
        if not stand.passages:
            yield "Does not play."
            return
        count = len(stand.passages)
        passages = "one passage" if count == 1 else f"{count} passages"
        text = f"Plays in {stand.plays} of {stand.bars} bars, in {passages}."
        if len(stand.instruments) > 1:
            names = [spoken(name) for name in stand.instruments]
            text += f" Changes between {listed(names, MOST_BARS)}."
        yield text
        if stand.breath is not None:
            where = self._bars(stand.breath.bar, stand.breath.last_bar)
            yield (
                f"Longest without a rest: {where}, about {_seconds(stand.breath.seconds)}. "
                "Where to breathe, the player knows best."
            )
        if stand.tempo_assumed:
            yield "The page gives no number for the tempo in places: seconds are rough there."

    def heading(self, number: int) -> str:
        """Return the bars of a passage and the rest before it."""
        passage = self._stand.passages[number]
        where = self._bars(passage.bar, passage.last_bar)
        rest = passage.rest
        where = f"{where[0].upper()}{where[1:]}"
        if rest.bars:
            bars = "1 bar" if rest.bars == 1 else f"{rest.bars} bars"
            return f"{where}, after {bars} of rest ({_seconds(rest.seconds)})"
        if number == 0:
            return f"{where}, from the beginning"
        return f"{where}, after {_seconds(rest.seconds)} of rest"

    def passage(self, passage: Passage) -> str:
        """Return how a passage is entered and what changes in it, in paragraphs."""
        paragraphs = [self._entry(passage)]
        stresses = [sign for sign in passage.signs if sign.kind == "stress"]
        others = [sign for sign in passage.signs if sign.kind != "stress"]
        groups = [(bars, list(signs)) for bars, signs in groupby(others, key=_bars_of)]
        for together in _paragraphs(groups):
            told = "; ".join(
                f"{self._bars(*bars)} {', '.join(_sign(sign) for sign in signs)}"
                for bars, signs in together
            )
            paragraphs.append(f"{told[0].upper()}{told[1:]}.")
        for text in dict.fromkeys(sign.text for sign in stresses):
            places = dict.fromkeys(sign.bar for sign in stresses if sign.text == text)
            paragraphs.append(f"{text} in {self._list_of_bars(list(places))}.")
        return "\n".join(paragraphs)

    def _entry(self, passage: Passage) -> str:
        entry = passage.entry
        level = f"{'' if entry.level == round(entry.level) else 'about '}{level_name(entry.level)}"
        note = f" on {_note(entry.note)}" if entry.note else ""
        text = {
            "marked": f"Enters {entry.printed or level}{note}",
            "swell": f"Enters at {level}{note}, where the {_swell_at(entry)} of "
            f"{self._bar(entry.since)} has led",
            "carried": f"Enters{note} without a new level: {entry.printed or level} still holds "
            f"from {self._bar(entry.since)}",
            "assumed": f"Enters{note} without any level so far: {level} assumed",
        }[entry.cause]
        state = [
            f"{name}{'' if since >= passage.bar else f' since {self._bar(since)}'}"
            for name, since in entry.state
        ]
        if len(self._stand.instruments) > 1:
            state.insert(0, f"on the {spoken(entry.instrument)}")
        compass = ""
        if passage.low and passage.low != passage.high:
            compass = f" Written compass {_note(passage.low)} to {_note(passage.high)}."
        return ", ".join([text, *state]) + "." + compass

    def open(self) -> Iterator[str]:
        """Yield what the page does not tell this player."""
        entries = [passage.entry for passage in self._stand.passages]
        assumed = [one.bar for one in entries if one.cause == "assumed"]
        if assumed:
            yield f"No level stands at the entry in {self._list_of_bars(assumed)}."
        for since, ones in groupby(
            (one for one in entries if one.cause == "carried"), key=lambda one: one.since
        ):
            where = self._list_of_bars([one.bar for one in ones])
            yield f"The level of {self._bar(since)} is not told again at the entry in {where}."
        aimless = [
            (sign.bar, sign.kind)
            for passage in self._stand.passages
            for sign in passage.signs
            if not sign.told
        ]
        for kind in ("crescendo", "diminuendo"):
            bars = list(dict.fromkeys(bar for bar, name in aimless if name == kind))
            if bars:
                noun = f"The {kind} in" if len(bars) == 1 else f"The {kind}s in"
                verb = "has" if len(bars) == 1 else "have"
                yield f"{noun} {self._list_of_bars(bars)} {verb} no goal."
        for question in self._stand.open:
            place = f"{self._bar(question.bar)}: " if question.bar >= 0 else ""
            yield place + question.text

    def _bar(self, index: int) -> str:
        return f"bar {bar_name(index, self._score)}"

    def _bars(self, first: int, last: int) -> str:
        if first == last:
            return self._bar(first)
        return f"bars {bar_name(first, self._score)}–{bar_name(last, self._score)}"

    def _list_of_bars(self, bars: Sequence[int]) -> str:
        names = [bar_name(bar, self._score) for bar in bars]
        return f"{'bar' if len(names) == 1 else 'bars'} {listed(names, MOST_BARS)}"


def _paragraphs(groups: Sequence[Group]) -> Iterator[Sequence[Group]]:
    """Cut what changes in a long passage at rehearsal letters and new tempos, else by length."""
    together: list[Group] = []
    for bars, signs in groups:
        kinds = {sign.kind for sign in signs}
        lettered = "rehearsal" in kinds
        turning = "tempo" in kinds and len(together) >= SOME_GROUPS
        if together and (lettered or turning or len(together) >= MOST_GROUPS):
            yield together
            together = []
        together.append((bars, signs))
    if together:
        yield together


def _bars_of(sign: Sign) -> tuple[int, int]:
    return sign.bar, max(sign.bar, sign.last_bar)


def _sign(sign: Sign) -> str:
    match sign.kind:
        case "crescendo" | "diminuendo":
            return f"{sign.kind} to {sign.text}" if sign.told else f"{sign.kind} without a goal"
        case "technique":
            return sign.text + _time(sign, "from note to note")
        case "instrument":
            return f"takes the {spoken(sign.text)}" + _time(sign, "to change")
        case "tempo" | "word":
            return f"“{sign.text}”"
        case "rehearsal":
            return f"letter {sign.text}"
    return sign.text


def _time(sign: Sign, what: str) -> str:
    return "" if sign.seconds is None else f" ({_seconds(sign.seconds)} {what})"


def _swell_at(entry: Entry) -> str:
    return entry.printed or "swell"


def _note(name: str) -> str:
    """Return a pitch as printed: "B♭4"."""
    return name[:1] + name[1:].replace("b", "♭").replace("#", "♯")


def _seconds(seconds: float) -> str:
    return f"{seconds:.1f} s" if seconds < 10 else f"{seconds:.0f} s"
