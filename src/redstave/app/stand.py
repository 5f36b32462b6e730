"""What one player sees from the chair, as data and as a page to read."""

from redstave.analysis import Analysis
from redstave.app.facts import question_json
from redstave.app.hear import printed
from redstave.model.score import Score
from redstave.players.stand import Stand, chairs, find_chair, stand_of
from redstave.players.stand.view import Entry, Passage, Sign
from redstave.render.stand import StandPage, stand_page

Json = dict[str, object]


def players(analysis: Analysis) -> list[Json]:
    """Return the players of a score in its order; the shape is documented in docs/json.md."""
    playing = analysis.playing
    found = []
    for chair in chairs(playing):
        home = playing.lines[chair.lines[0]]
        bars = sorted({tone.bar for tone in playing.tones if tone.line in chair.lines})
        found.append(
            {
                "player": chair.name,
                "instrument": home.instrument,
                "part": home.part,
                "heads": playing.lines[chair.lines[-1 if chair.portion else 0]].players,
                "bars": len(bars),
                "first_bar": _number(analysis.score, bars[0]) if bars else None,
            }
        )
    return found


def read_stand(analysis: Analysis, player: str) -> Stand:
    """Return what a player sees; InputError when the name means nobody or several."""
    return stand_of(analysis.score, analysis.playing, find_chair(analysis.playing, player))


def stand_words(analysis: Analysis, player: str) -> StandPage:
    """Return what a player sees as a page to read."""
    return stand_page(read_stand(analysis, player), analysis.score)


def stand(analysis: Analysis, player: str) -> Json:
    """Return what a player sees as data; the shape is documented in docs/json.md."""
    seen, score = read_stand(analysis, player), analysis.score
    breath = seen.breath and {
        "bar": _number(score, seen.breath.bar),
        "last_bar": _number(score, seen.breath.last_bar),
        "seconds": _seconds(seen.breath.seconds),
    }
    return {
        "player": seen.name,
        "instruments": list(seen.instruments),
        "bars": seen.bars,
        "plays": seen.plays,
        "tempo_assumed": seen.tempo_assumed,
        "passages": [_passage(one, score) for one in seen.passages],
        "breath": breath,
        "open": [question_json(one, score) for one in seen.open],
    }


def _passage(passage: Passage, score: Score) -> Json:
    return {
        "bar": _number(score, passage.bar),
        "last_bar": _number(score, passage.last_bar),
        "seconds": _seconds(passage.seconds),
        "rest_bars": passage.rest.bars,
        "rest_seconds": _seconds(passage.rest.seconds),
        "low": passage.low,
        "high": passage.high,
        "entry": _entry(passage.entry, score),
        "signs": [_sign(one, score) for one in passage.signs],
    }


def _entry(entry: Entry, score: Score) -> Json:
    return {
        "bar": _number(score, entry.bar),
        "beat": _beat(score, entry.offset),
        "note": entry.note,
        "level": round(entry.level, 3),
        "cause": entry.cause,
        "since": _number(score, entry.since) if entry.since >= 0 else None,
        "printed": entry.printed,
        "instrument": entry.instrument,
        "techniques": [
            {"name": name, "since": _number(score, since)} for name, since in entry.state
        ],
    }


def _sign(sign: Sign, score: Score) -> Json:
    return {
        "kind": sign.kind,
        "bar": _number(score, sign.bar),
        "beat": _beat(score, sign.offset),
        "text": sign.text,
        "last_bar": _number(score, max(sign.bar, sign.last_bar)),
        "told": sign.told,
        "seconds": None if sign.seconds is None else _seconds(sign.seconds),
    }


def _number(score: Score, bar: int) -> int | str:
    return printed(score.bars[bar].number)


def _beat(score: Score, offset: int) -> float:
    return round(float(score.beat(offset)), 4)


def _seconds(seconds: float) -> float:
    return round(seconds, 2)
