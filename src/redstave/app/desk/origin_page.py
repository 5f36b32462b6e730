"""What became of the piano piece: carrier strips, lists, and both pages one above the other."""

from collections import OrderedDict, defaultdict
from collections.abc import Iterator, Sequence
from functools import cached_property
from threading import RLock
from typing import NamedTuple

from redstave import store
from redstave.analysis import Analysis
from redstave.analysis.page import note_name
from redstave.app.desk.opened import Opened
from redstave.app.review import told_key
from redstave.base.errors import InputError
from redstave.model.match import NO_BAR, Match
from redstave.original.beside import Beside, beside
from redstave.reading import xml_of
from redstave.render.changes import bars_text
from redstave.render.cleaned import cleaned
from redstave.render.compose import whole_piece
from redstave.render.excerpt import LONGEST, ExcerptRequest, excerpts
from redstave.render.origin_strips import strip_label_width, strip_panel
from redstave.render.origin_view import origin_view
from redstave.render.origin_words import bar_runs
from redstave.render.page_xml import Page, page
from redstave.render.ribbons import WIDTH, frames
from redstave.render.view import OriginView
from redstave.render.wording import bar_name, listed
from redstave.store import Season

MOST_PITCHES = 8  # named of what one bar leaves out
MOST_KEPT = 48  # pairs of excerpts kept in memory


class Panel(NamedTuple):
    """Some bars of the entry as strips; `left` and `bar` are shares of the picture's width."""

    first: int
    last: int
    left: float
    bar: float
    strips: str


class Lost(NamedTuple):
    """Tones of the piano that nobody plays, of one voice in one bar.

    `entry` is the bar of the entry that stands for it (index), -1 where there is none.
    """

    bar: str
    entry: int
    voice: str
    pitches: str


class Added(NamedTuple):
    """What a line plays that comes from no tone of the piano; `first` is its first bar (index)."""

    line: str
    tones: int
    bars: str
    first: int


class OriginPage(NamedTuple):
    """All that the page shows before anything is engraved."""

    told: OriginView
    panels: tuple[Panel, ...]
    voices: tuple[str, ...]
    lost: tuple[Lost, ...]
    added: tuple[Added, ...]


class Compared(NamedTuple):
    """Bars of both pages as inline SVG, "" where there is none; `remark` says why, or what is cut.

    `glyphs` are the outlines that both use.
    """

    entry: str
    entry_words: str
    piano: str
    piano_words: str
    remark: str
    glyphs: tuple[tuple[str, str], ...]


def origin_page(opened: Opened) -> OriginPage | None:
    """Gather the page of an entry, None where the season has no original."""
    return opened.analysis.remember(_gathered)


def _gathered(analysis: Analysis) -> OriginPage | None:
    told, both = origin_view(analysis), beside(analysis)
    if told is None or both is None:
        return None
    whole = whole_piece(analysis)
    panels = list(frames(len(whole.bars), strip_label_width(told)))
    return OriginPage(
        told,
        tuple(
            Panel(
                one.first,
                one.first + one.bars - 1,
                one.left / WIDTH,
                one.bar / WIDTH,
                strip_panel(told, whole, one, one is panels[-1]),
            )
            for one in panels
        ),
        tuple(voice.name for voice in both.match.voices),
        tuple(_lost(both)),
        tuple(_added(both)),
    )


def _lost(both: Beside) -> Iterator[Lost]:
    """Yield what nobody plays, by bar of the piano piece and voice."""
    score, match = both.original, both.match
    groups: dict[tuple[int, int], list[str]] = defaultdict(list)
    for at in match.left_out:
        tone = match.source[at]
        groups[tone.bar, tone.voice].append(note_name(score.notes_by_id[tone.notes[0]]))
    for (bar, voice), names in sorted(groups.items()):
        entry = match.entry_bars_of.get(bar, (NO_BAR,))[0]
        told = listed(names, MOST_PITCHES) if entry != NO_BAR else "the whole bar"
        yield Lost(bar_name(bar, score), entry, match.voices[voice].name, told)


def _added(both: Beside) -> Iterator[Added]:
    """Yield what each line adds, in the order of the page."""
    groups: dict[int, list[int]] = defaultdict(list)
    for at in both.match.added:
        tone = both.playing.tones[at]
        if not tone.unpitched:
            groups[tone.line].append(tone.bar)
    for line, bars in sorted(groups.items()):
        runs = bar_runs(bars, both.entry)
        yield Added(both.playing.lines[line].name, len(bars), runs, min(bars))


class Origins:
    """The piano piece of a season, laid open once, and pairs of excerpts that were engraved."""

    def __init__(self, season: Season) -> None:
        self._season = season
        self._lock = RLock()
        self._kept: OrderedDict[tuple[str, int, int, int], Compared] = OrderedDict()

    @cached_property
    def _page(self) -> Page:
        facts = store.read_facts(self._season)
        data = store.kept_bytes(self._season, facts.original)
        xml, _, _ = xml_of(data, f"original{facts.original_ending}")
        return page(xml)

    def compare(self, opened: Opened, first: int, last: int, voice: int = NO_BAR) -> Compared:
        """Return bars of the entry (indices, both included) under the bars they come from.

        The notes of a voice of the piano are ringed in both, where one is given. InputError for
        more bars than fit, or where there is no original.
        """
        both = beside(opened.analysis)
        if both is None:
            raise InputError("this season has no original to set beside the entry")
        if last - first >= LONGEST:
            raise InputError(f"choose at most {LONGEST} bars to see both pages")
        if voice >= len(both.match.voices):
            raise InputError("the piano piece has no such voice")
        said = told_key(opened.analysis.pins, opened.analysis.voice_overrides)
        key = (opened.sha256 + said, first, last, voice)
        with self._lock:
            if key not in self._kept:
                self._kept[key] = self._engraved(opened, both, first, last, voice)
                while len(self._kept) > MOST_KEPT:
                    self._kept.popitem(last=False)
            self._kept.move_to_end(key)
            return self._kept[key]

    def _engraved(
        self, opened: Opened, both: Beside, first: int, last: int, voice: int
    ) -> Compared:
        bars = sources(both.match, first, last)
        entry_words = f"Entry, {bars_text(opened.analysis.score, first, last)}"
        (below,) = excerpts(opened.page, [_entry_request(both, first, last, voice, entry_words)])
        if not bars:
            nothing = "These bars come from no bar of the piano piece."
            return Compared(_shown(below.svg), entry_words, "", "", nothing, below.glyphs)
        begin, end = bars[0], min(bars[-1], bars[0] + LONGEST - 1)
        piano_words = f"Piano, {bars_text(both.original, begin, end)}"
        wanted = ExcerptRequest(
            begin,
            end,
            tuple(part.id for part in both.original.parts),
            tuple(_piano_notes(both.match, range(begin, end + 1), voice)),
            title=piano_words,
        )
        (above,) = excerpts(self._page, [wanted])
        return Compared(
            _shown(below.svg),
            entry_words,
            _shown(above.svg),
            piano_words,
            " ".join(filter(None, (above.remark, below.remark))),
            tuple(dict([*above.glyphs, *below.glyphs]).items()),
        )


def _shown(svg: str) -> str:
    return cleaned(svg) if svg else ""


def sources(match: Match, first: int, last: int) -> list[int]:
    """Return the bars of the original (indices) that some bars of the entry come from."""
    found = {bar for entry in range(first, last + 1) for bar in match.originals_of.get(entry, ())}
    return sorted(found)


def _entry_request(both: Beside, first: int, last: int, voice: int, title: str) -> ExcerptRequest:
    tones = both.playing.tones
    sounding = {note for tone in tones if first <= tone.bar <= last for note in tone.notes}
    parts = [
        part.id for part in both.entry.parts if any(note.id in sounding for note in part.notes)
    ]
    parts = parts or [part.id for part in both.entry.parts[:1]]
    return ExcerptRequest(
        first, last, tuple(parts), tuple(_entry_notes(both, first, last, voice)), title=title
    )


def _piano_notes(match: Match, bars: Sequence[int], voice: int) -> Iterator[str]:
    for tone in match.source:
        if tone.voice == voice and tone.bar in bars:
            yield from tone.notes


def _entry_notes(both: Beside, first: int, last: int, voice: int) -> Iterator[str]:
    for carrier in both.match.carriers:
        tone = both.playing.tones[carrier.tone]
        if both.match.source[carrier.source].voice == voice and first <= tone.bar <= last:
            yield from tone.notes
