"""What hearing may cost: bounds that hold on any machine, with room for a busy one."""

from pathlib import Path

import numpy as np
import pytest

from benchmarks import hearing
from redstave.reading import xml_of

BUSY = 1.5  # a busy machine makes one measurement of a pair so much worse than the other


def test_twice_the_slices_take_twice_the_time() -> None:
    """The cost of hearing grows with the slices, not faster."""
    chosen = np.random.default_rng(3).integers(0, hearing.VOICES, (800, hearing.LINES))
    notes = hearing.voices()
    half, whole = (
        hearing.cpu_seconds(hearing.fast(notes, chosen[:count]), 5) for count in (400, 800)
    )
    assert whole / half < 2.0 * BUSY


def test_a_line_is_judged_much_faster_than_a_frame_of_loudness() -> None:
    """Hundreds of lines are judged in the time mosqito takes for one frame (500 when idle)."""
    chosen = np.random.default_rng(3).integers(0, hearing.VOICES, (500, hearing.LINES))
    line_s = hearing.cpu_seconds(hearing.fast(hearing.voices(), chosen), 3) / chosen.size
    frame_s = hearing.cpu_seconds(hearing.zwicker_second()) * hearing.FRAME_S
    assert frame_s / line_s > 500.0 / BUSY**2


@pytest.mark.corpus
def test_a_movement_is_heard_in_less_than_the_engraver_needs_to_load_it(
    scores: Path, tmp_path: Path
) -> None:
    """Hearing costs less CPU than loading the score for engraving, and at most 200 MiB."""
    score = scores / "orchestra" / hearing.MOVEMENT.name
    plain = tmp_path / "score.xml"
    plain.write_bytes(xml_of(score.read_bytes(), score.name)[0])
    heard = hearing.in_a_process(hearing.HEAR.format(tail=False), score)
    ringing = hearing.in_a_process(hearing.HEAR.format(tail=True), score)
    loaded = hearing.in_a_process(hearing.LOAD, plain)
    assert max(heard.cpu_s, ringing.cpu_s) < loaded.cpu_s
    assert max(heard.peak_mib, ringing.peak_mib) <= 200.0
    assert ringing.cpu_s < 1.5 * heard.cpu_s * BUSY
