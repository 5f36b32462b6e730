"""What the teacher knows better, in plain words: read, written back, kept, applied, refused."""

from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path

import pytest

from redstave import store
from redstave.analysis import Analysis
from redstave.app import seasons, teachers_word
from redstave.app.bar_names import BarNames
from redstave.app.origin import following_original
from redstave.app.word_text import Pages
from redstave.app.word_use import Saying, said, said_texts, with_teachers_word, with_word
from redstave.base.errors import InputError, StaleError
from redstave.model.match import NO_BAR, Choice, Pin, VoiceOverride
from redstave.model.role import Role, RoleOverride
from redstave.model.teacher import NOTHING_SAID
from redstave.original import match_of
from redstave.reading import read_bytes
from redstave.store import Season

ENTRY = """\
title: Two Players
meter: 4/4
tempo: 96 "Andante"
part Flute
p C5/4 D5 E5 F5 | G5/2 E5 | A5/4 G5 F5 D5 | C5/1 | C5/4 D5 E5 F5 | G5/1 |.
part Viola | clef=alto
p C4/1 | C4/1 | F4/1 | E4/1 | R | C4/1 |.
"""
PIANO = """\
title: Two Players
meter: 4/4
tempo: 96 "Andante"
part Piano | staves=2
p C5/4 D5 E5 F5 // C4/1 | G5/2 E5 // C4/1 | A5/4 G5 F5 D5 // F4/1 |
p C5/1 // E4/1 | C5/4 D5 E5 F5 // R | G5/1 // C4/1 |.
"""


@pytest.fixture(scope="module")
def analysis() -> Analysis:
    """An entry beside its piano piece, bar for bar."""
    entry, piano = (read_bytes(text.encode(), "x.tiny") for text in (ENTRY, PIANO))
    return following_original(Analysis(entry, original=piano))


@pytest.fixture(scope="module")
def pages(analysis: Analysis) -> Pages:
    """The two pages, to speak about."""
    return Pages(analysis.score, analysis.playing, analysis.original)


def test_words_become_values(pages: Pages) -> None:
    """Each kind of word is read as the musician means it."""
    word = said(
        NOTHING_SAID,
        Saying(
            pins=["2-3 = 5-6", " 4=none "],
            roles=["Viola, bars 2-4: bass", "Flute: Tune"],
            voices=["bars 1-2, left hand, highest: tune", "stave 1: Right-hand figure"],
            cuts="5, 3,3",
        ),
        pages,
    )
    lines = {line.name: line.id for line in pages.playing.lines}
    assert word.pins == (Pin(1, 4), Pin(2, 5), Pin(3, NO_BAR))
    assert word.roles == (
        RoleOverride(lines["Viola"], 1, 3, Role.BASS),
        RoleOverride(lines["Flute"], 0, 5, Role.TUNE),
    )
    assert word.voices == (
        VoiceOverride(0, 1, 2, Choice.HIGHEST, "tune"),
        VoiceOverride(0, 5, 1, Choice.ALL, "right-hand figure"),
    )
    assert word.cuts == (2, 4)


def test_what_is_written_is_read_back(pages: Pages) -> None:
    """The texts that are shown say the same again, and read as one would write them."""
    saying = Saying(
        ["2-3 = 5-6", "1 = 1", "4-5 = none"], ["viola, bar 3: inner"], ["lowest: bass"], "2"
    )
    word = said(NOTHING_SAID, saying, pages)
    texts = said_texts(word, pages)
    assert texts == {
        "pins": ["1 = 1", "2-3 = 5-6", "4-5 = none"],
        "roles": ["Viola, bar 3: inner"],
        "voices": ["bars 1-6, lowest: bass"],
        "cuts": ["2"],
    }
    again = Saying(texts["pins"], texts["roles"], texts["voices"], ", ".join(texts["cuts"]))
    assert said(NOTHING_SAID, again, pages) == word


def test_a_later_word_stands_instead(pages: Pages) -> None:
    """On the same bar, the same line within the same bars, the same tones: the later one counts."""
    before = said(
        NOTHING_SAID,
        Saying(["2 = 5"], ["Viola, bars 2-3: bass", "Viola, bar 6: bass"], ["bar 1: tune"]),
        pages,
    )
    now = said(before, Saying(["2 = 1"], ["Viola, bars 1-4: inner"], ["bars 1-2: bass"]), pages)
    assert said_texts(now, pages) == {
        "pins": ["2 = 1"],
        "roles": ["Viola, bar 6: bass", "Viola, bars 1-4: inner"],
        "voices": ["bars 1-2: bass"],
        "cuts": [],
    }


@pytest.mark.parametrize(
    ("saying", "words"),
    [
        (Saying(pins=["7 = 1"]), "there is no bar 7 in the entry; its bars go from 1 to 6"),
        (Saying(pins=["1 = 9"]), "there is no bar 9 in the piano piece"),
        (Saying(pins=["bar one"]), 'such as "41 = 37"'),
        (Saying(pins=["1 ="]), "sets no bar"),
        (Saying(pins=["1-3 = 1-2"]), "sets 3 bars to 2"),
        (Saying(pins=["3-1 = none"]), "bar 3 comes after bar 1"),
        (Saying(roles=["Viola"]), "gives nobody a role"),
        (Saying(roles=["Viola, bars 1-2: melody"]), "the roles are tune, counter"),
        (Saying(roles=["Harp, bars 1-2: tune"]), '"Harp"'),
        (Saying(roles=["Viola, bar 5: tune"]), "Viola rests in bar 5"),
        (Saying(roles=["bars 1-2: tune"]), "say who is meant"),
        (Saying(voices=["bars 1-2"]), "names no voice"),
        (Saying(voices=["bars 1-2: tume"]), "does not say what the voice is for"),
        (Saying(voices=["bars 1-2, third hand: tune"]), '"third hand" is not known'),
        (Saying(voices=["bars 1-2, stave 3: tune"]), "stave 1 to 2"),
        (Saying(voices=["bar 5, left hand: tune"]), "left hand rests in bar 5"),
        (Saying(cuts="1-2"), "there is no bar 1-2"),
    ],
)
def test_what_cannot_be_is_told(pages: Pages, saying: Saying, words: str) -> None:
    """Each mistake is told in one sentence."""
    with pytest.raises(InputError) as refused:
        said(NOTHING_SAID, saying, pages)
    assert words in str(refused.value)
    assert "\n" not in str(refused.value)


def test_bars_and_voices_need_the_piano_piece(pages: Pages) -> None:
    """Without an original only roles and sections can be said."""
    alone = Pages(pages.entry, pages.playing)
    assert said(NOTHING_SAID, Saying(roles=["Viola: bass"], cuts="3"), alone).cuts == (2,)
    for saying in (Saying(pins=["1 = 1"]), Saying(pins=["1 = none"]), Saying(voices=["all: tune"])):
        with pytest.raises(InputError, match="no piano piece"):
            said(NOTHING_SAID, saying, alone)


def test_a_number_printed_twice_is_counted(pages: Pages) -> None:
    """A bar whose number repeats has to be counted, and is written with its count."""
    bars = [bar if bar.index != 3 else type(bar)(3, "3", bar.start, bar.length)
            for bar in pages.entry.bars]  # fmt: skip
    names = BarNames(replace(pages.entry, bars=tuple(bars)), "the entry")
    assert names.all == ("1", "2", "3 (1)", "3 (2)", "5", "6")
    assert [names.index(name) for name in names.all] == list(range(6))
    assert names.range("2-3 (2)") == (1, 3)
    for text in ("3", "3 (3)", "3 (0)"):
        with pytest.raises(InputError, match="2 bars of the entry have the number 3; write"):
            names.index(text)
    with pytest.raises(InputError, match="no bar 4"):
        names.index("4")


def test_what_is_said_is_followed(analysis: Analysis) -> None:
    """A pin moves its bar, a voice its tones, a role who has the tune; else nothing is new."""
    assert with_word(analysis, Saying()) is analysis
    now = with_word(
        analysis,
        Saying(["4 = 2"], ["Viola, bars 1-2: tune"], ["bars 1-6, left hand: tune"]),
    )
    match = match_of(now)
    assert match is not None
    assert [one.original for one in match.bars if one.entry == 3 and one.pinned] == [1]
    tune = [at for at, voice in enumerate(match.voices) if voice.role is Role.TUNE]
    assert {one.voice for one in match.source if one.stave == 2} == set(tune)
    viola = next(at for at, line in enumerate(now.playing.lines) if line.name == "Viola")
    assert now.tune_spans[0].line == viola
    assert analysis.tune_spans[0].line != viola


def test_another_word_lets_go_of_the_one_before(analysis: Analysis) -> None:
    """Said again and again, analyses do not pile up, and what is heard is taken over."""
    heard = analysis.hearing
    now = analysis
    for cuts in ((2,), (3,), (2, 4), ()):
        now = with_teachers_word(now, said(NOTHING_SAID, Saying(), _pages(now)))
        now = with_teachers_word(
            now,
            said(NOTHING_SAID, Saying(cuts=", ".join(str(bar + 1) for bar in cuts)), _pages(now)),
        )
        assert now.cuts == cuts
    depth, one = 0, now
    while one.earlier is not None:
        depth, one = depth + 1, one.earlier
    assert depth <= 2
    assert (now.hearing.rows.margin_db == heard.rows.margin_db).all()


def _pages(analysis: Analysis) -> Pages:
    return Pages(analysis.score, analysis.playing, analysis.original)


@pytest.fixture
def season(tmp_path: Path) -> Iterator[Season]:
    """A season with the piano piece."""
    (tmp_path / "piano.tiny").write_text(PIANO, "utf-8")
    with seasons.new_season(tmp_path / "s", tmp_path / "piano.tiny", "steps") as made:
        yield made


def test_a_season_keeps_it_and_computes_anew(season: Season) -> None:
    """Said, it makes the entry wait; computed, the review rests on it; taken back, it is gone."""
    code = seasons.add_bytes(season, ENTRY.encode(), "x.tiny")
    seasons.compute(season)
    pages = teachers_word.pages_of(season, code)
    assert (
        teachers_word.say(season, code, Saying(["4 = 2"], cuts="3"), pages, by="A. T.").revision
        == 1
    )
    assert not seasons.is_up_to_date(season, code)
    assert seasons.compute(season).reviewed == (code,)
    assert seasons.analysis_of(season, code).pins == (Pin(3, 1),)
    assert seasons.is_up_to_date(season, code)
    told = teachers_word.say(season, code, Saying(["5 = 1"], forget=["pins"]))
    assert (told.word.pins, told.word.cuts) == ((Pin(4, 0),), (2,))
    with pytest.raises(InputError, match="not among what was said"):
        teachers_word.take_back(season, code, "pins", "4 = 2", pages, told.revision)
    told = teachers_word.take_back(season, code, "pins", "5 = 1", pages, told.revision)
    assert (told.word.pins, told.revision) == ((), 3)
    same = teachers_word.say(season, code, Saying(cuts="3"), pages)
    assert same.revision == 3, "what stands already is no new revision"
    assert teachers_word.word_json(season, code, pages)["cuts"] == [3]


def test_a_late_word_overwrites_nothing(season: Season) -> None:
    """Over an old revision it is refused, told in words, and kept aside."""
    code = seasons.add_bytes(season, ENTRY.encode(), "x.tiny")
    teachers_word.say(season, code, Saying(cuts="3"), revision=0)
    with pytest.raises(StaleError) as stale:
        teachers_word.say(season, code, Saying(["4 = 2"]), revision=0)
    assert (stale.value.mine, stale.value.theirs) == ("pins: 4 = 2; cuts: 3", "cuts: 3")
    assert teachers_word.told(season, code).word.cuts == (2,)
    assert [one.text for one in store.texts_set_aside(season, code)] == ["pins: 4 = 2; cuts: 3"]


def test_a_further_version_begins_without(season: Season) -> None:
    """What was said of one version is not said of the next."""
    code = seasons.add_bytes(season, ENTRY.encode(), "x.tiny")
    teachers_word.say(season, code, Saying(cuts="3"))
    seasons.add_bytes(season, ENTRY.replace("C5/1", "D5/1").encode(), "y.tiny", code)
    assert teachers_word.told(season, code).word == NOTHING_SAID
