"""The engraver in its child process: isolation, limits, and the same page in any company."""

import os
from contextlib import suppress
from pathlib import Path

import pytest

from redstave.render.engraver import FAILED, Job, Patience, engrave, music_font_css
from tests.render.quay import ATTRIBUTES, quay, score_of, whole_note

QUICK = Patience(megabytes=800, processor_s=4, wall_s=8.0)


def good() -> Job:
    """Return a page that engraves."""
    return Job(score_of(f'<measure number="1">{ATTRIBUTES}{whole_note()}</measure>').decode())


def deadly() -> Job:
    """Return a page in the metre 0/0, which kills the engraving library (SIGFPE, measured)."""
    zero = ATTRIBUTES.replace("<beats>4", "<beats>0").replace("type>4", "type>0")
    return Job(score_of(f'<measure number="1">{zero}{whole_note()}</measure>').decode())


def endless() -> Job:
    """Return a page whose forward is so long that filling it would take for ever."""
    forward = "<forward><duration>999999999</duration></forward>"
    bar = f'<measure number="1">{ATTRIBUTES}{forward}{whole_note()}</measure>'
    return Job(score_of(bar).decode())


def test_a_page_that_kills_the_child_fails_alone() -> None:
    """A page that kills the engraver gets a sentence; those before and after it are engraved."""
    before, killed, after = engrave([good(), deadly(), good()], QUICK)
    assert killed.svg == ""
    assert killed.failure.startswith(FAILED)
    assert before.failure == after.failure == ""
    assert "<svg" in before.svg


def test_an_endless_page_is_stopped() -> None:
    """A page that would never end is stopped by the child's limits and the rest goes on."""
    stopped, after = engrave([endless(), good()], QUICK)
    assert stopped.failure.startswith(FAILED)
    assert after.failure == ""


def test_the_wall_clock_stops_a_child_that_only_waits() -> None:
    """A child that does not answer in time is given up even when it burns no processor time."""
    (late,) = engrave([good()], Patience(wall_s=0.0))
    assert late.failure.startswith(FAILED)


def test_the_same_page_in_any_company() -> None:
    """What was engraved before, or crashed before, changes no byte of a page."""
    alone = engrave([good()], QUICK)[0]
    company = engrave([Job(quay().decode()), good(), deadly(), good()], QUICK)
    assert alone.svg == company[1].svg == company[3].svg


@pytest.mark.parametrize("text", ["", "no xml", "<score-partwise/>", "<a/>"])
def test_what_is_no_score_fails_with_a_sentence(text: str) -> None:
    """Text without a bar in it is a failure, never an empty picture."""
    (none,) = engrave([Job(text)], QUICK)
    assert none.svg == ""
    assert none.failure.startswith(FAILED)


def children() -> set[str]:
    """Return the numbers of this process's children, those that nobody waited for among them."""
    ours = f"PPid:\t{os.getpid()}\n"
    found = set()
    for folder in Path("/proc").glob("[0-9]*"):
        with suppress(OSError):  # it ended while we looked
            if ours in (folder / "status").read_text():
                found.add(folder.name)
    return found


def test_no_child_is_left_behind() -> None:
    """After a batch, with or without a crash, no child of it is left, running or to wait for."""
    before = children()
    engrave([good(), deadly(), good()], QUICK)
    assert children() <= before


def test_this_process_never_loads_the_engraving_library() -> None:
    """The library is loaded in the child only: it would block and could kill this process."""
    import subprocess
    import sys

    look = (
        "import sys; from redstave.render import engraver, letter;"
        "engraver.engrave([]); engraver.music_font_css(); print('verovio' in sys.modules)"
    )
    told = subprocess.run([sys.executable, "-c", look], capture_output=True, text=True, check=True)
    assert told.stdout.strip() == "False"


def test_the_music_font_is_a_data_url() -> None:
    """The font of levels in running text travels inside the page."""
    css = music_font_css()
    assert "@font-face" in css
    assert "url(data:" in css
    assert "http" not in css
