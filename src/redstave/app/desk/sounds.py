"""The tones of some bars as a browser can play them: partials, levels, times. An estimate.

Every tone is a sum of partials with the levels that the analysis gives them at the listener's seat;
a browser adds them up. There is no bow, no breath and no hall tail in it: it lets the balance be
heard, not the orchestra.
"""

from functools import lru_cache
from typing import NamedTuple

import numpy as np

from redstave.app.desk.opened import Opened
from redstave.instruments import Hall, load
from redstave.instruments.notes import Notes, decay_s, heard, power_db
from redstave.model.line import Tone

Json = dict[str, object]
MOST_PARTIALS = 16
LONGEST_S = 60.0
LEVEL_STEP = 0.5
FAINT_DB = 60.0  # so far below the strongest partial nothing is added to what is heard


class Timbre(NamedTuple):
    """What fixes how a tone sounds."""

    instrument: str
    midi: float
    level: float
    technique: str
    players: float


class Voiced(NamedTuple):
    """Partials as (Hz, dB SPL), how long they take to die away by 60 dB (None: sustained)."""

    partials: tuple[tuple[float, float], ...]
    decay_s: float | None


def tones_in_bars(opened: Opened, first: int, last: int) -> Json:
    """Return every tone that sounds in the bars (indices, both included), times from their start.

    A tone's `gain_db`, at its two ends, is what to add to the levels of its partials: swells, and
    what dies away. `reference_db` is what the loudest moment of the whole entry comes to, so that
    one bar can be compared with another; what cannot be judged is left out and counted in
    `left_out`.
    """
    analysis = opened.analysis
    score, tempo = analysis.score, analysis.playing.tempo
    bars = score.bars[first : last + 1]
    begin = tempo.seconds(bars[0].start)
    end = min(tempo.seconds_before(bars[-1].start + bars[-1].length), begin + LONGEST_S)
    inside = [tone for tone in analysis.playing.tones if tone.start_s < end and tone.stop_s > begin]
    voiced = [tone for tone in inside if _known(opened, tone)]
    return {
        "seconds": round(end - begin, 3),
        "reference_db": round(_reference_db(opened), 1),
        "left_out": len(inside) - len(voiced),
        "tones": [_tone(opened, tone, begin, end) for tone in voiced],
    }


def _known(opened: Opened, tone: Tone) -> bool:
    return tone.line not in opened.analysis.unheard


def _tone(opened: Opened, tone: Tone, begin: float, end: float) -> Json:
    analysis = opened.analysis
    instrument = analysis.playing.lines[tone.line].instrument
    level = round(tone.level / LEVEL_STEP) * LEVEL_STEP
    timbre = Timbre(instrument, tone.midi, level, tone.technique, tone.players)
    voiced = _voiced(timbre, analysis.hall)
    levels = Notes(*np.array([[tone.midi] * 2, [tone.level, tone.level_stop], [tone.players] * 2]))
    start_db, stop_db = power_db(analysis.book[instrument], levels, tone.technique).tolist()
    heard_from, heard_to = max(tone.start_s, begin), min(tone.stop_s, end)
    a_second = (stop_db - start_db) / max(tone.stop_s - tone.start_s, 1e-3)
    if voiced.decay_s is not None:
        a_second = -60.0 / voiced.decay_s
    gains = [a_second * (at - tone.start_s) for at in (heard_from, heard_to)]
    return {
        "line": tone.line,
        "start": round(heard_from - begin, 4),
        "stop": round(heard_to - begin, 4),
        "gain_db": [round(gain, 1) for gain in gains],
        "partials": [[round(hz, 2), round(db, 1)] for hz, db in voiced.partials],
    }


@lru_cache(maxsize=4000)
def _voiced(timbre: Timbre, hall: Hall) -> Voiced:
    instrument = load()[timbre.instrument]
    one = Notes(np.array([timbre.midi]), np.array([timbre.level]), np.array([timbre.players]))
    spectrum = heard(instrument, one, timbre.technique, hall)
    order = np.argsort(-spectrum.levels)[:MOST_PARTIALS]
    audible = [at for at in order if spectrum.levels[at] > spectrum.levels[order[0]] - FAINT_DB]
    decay = decay_s(instrument, one.midi, timbre.technique)
    return Voiced(
        tuple((float(spectrum.frequencies[at]), float(spectrum.levels[at])) for at in audible),
        None if decay is None else float(decay[0]),
    )


def _reference_db(opened: Opened) -> float:
    """Return the level at the seat of the loudest slice: its power, less what the hall takes."""
    hearing = opened.analysis.hearing
    slices = hearing.slices
    power = np.bincount(slices.row_slice, 10.0 ** (hearing.sound.power_db / 10.0))
    if not power.size:
        return 0.0
    hall, book = opened.analysis.hall, opened.analysis.book
    taken = hall.transfer_db(book["violin"], np.array([1000.0]))
    return float(10.0 * np.log10(power.max()) + taken[0])
