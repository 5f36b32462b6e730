"""Law 7: whatever was said to be saved is there, after a kill, on a full disk, with two writers."""

import os
import resource
import signal
import subprocess
import sys
import threading
import time
from collections.abc import Callable, Iterator
from pathlib import Path
from random import Random

import pytest
from sqlalchemy import text

from redstave import store
from redstave.base.errors import InputError, StaleError
from redstave.store import Season
from tests.store import writer
from tests.store.conftest import begun

KILLS = 5
ROOT = Path(__file__).resolve().parents[2]


def start(folder: Path, kind: str, first: int) -> "subprocess.Popen[str]":
    """Start a program that writes into the season."""
    words = [sys.executable, "-m", "tests.store.writer", str(folder), kind, str(first)]
    return subprocess.Popen(
        words, stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True, cwd=ROOT
    )


def killed(folder: Path, kind: str, first: int, after: float) -> int:
    """Run a writer, kill it so long after its first word, return the last number it said."""
    process = start(folder, kind, first)
    assert process.stdout is not None
    said = int(process.stdout.readline())
    time.sleep(after)
    process.send_signal(signal.SIGKILL)
    rest, _ = process.communicate()
    whole = [line for line in rest.split("\n")[:-1] if line]
    return int(whole[-1]) if whole else said


def texts_of(folder: Path, kind: str) -> tuple[list[int], bool]:
    """Return the numbers found in the season, and whether every one of them is whole."""
    with store.open_season_folder(folder) as season:
        with season.reading() as db:
            assert db.execute(text("PRAGMA integrity_check")).scalar() == "ok"
            assert db.execute(text("PRAGMA foreign_key_check")).all() == []
        if kind == "texts":
            found = [store.read_draft(season, "Juniper", "opening").text]
        elif kind == "remarks":
            kept = store.read_remarks(season, "Juniper")
            assert {one.remark.revision for one in kept} == {2}, "a block was written by half"
            found = [one.remark.text for one in kept]
        else:
            entries = [one for one in store.read_entries(season) if one.code != "Juniper"]
            found = [store.kept_bytes(season, one.newest.sha256).decode() for one in entries]
    whole = all(one.endswith(writer.PADDING) for one in found)
    return sorted(int(one.split()[0]) for one in found), whole


@pytest.mark.parametrize("kind", sorted(writer.KINDS))
def test_a_kill_at_any_instant_loses_nothing_that_was_said_to_be_saved(
    in_a_file: Season, kind: str
) -> None:
    """Killed again and again at random instants, a writer finds all it has acknowledged, whole."""
    folder, chance = in_a_file.folder, Random(kind)
    in_a_file.close()
    first = 1
    for _ in range(KILLS):
        said = killed(folder, kind, first, chance.uniform(0.0, 0.15))
        numbers, whole = texts_of(folder, kind)
        assert whole
        assert said in numbers or (kind == "texts" and numbers == [said + 1])
        assert numbers[-1] <= said + 1, "more than what was under way was written"
        if kind != "texts":
            assert numbers == list(range(1, numbers[-1] + 1))
        first = numbers[-1] + 1


def test_a_kill_while_a_season_is_made_leaves_a_folder_that_can_be_used(tmp_path: Path) -> None:
    """Whenever making a season is cut off, making it again succeeds."""
    code = (
        "import sys; from pathlib import Path; from redstave import store\n"
        "print('ready', flush=True)\n"
        "store.make_season_folder(Path(sys.argv[1])).close()"
    )
    for after in (0.0, 0.01, 0.03, 0.06, 0.1, 0.15):
        folder = tmp_path / f"s{after}"
        process = subprocess.Popen(
            [sys.executable, "-c", code, str(folder)], stdout=subprocess.PIPE
        )
        assert process.stdout is not None
        process.stdout.readline()
        time.sleep(after)
        process.kill()
        process.communicate()
        with store.make_season_folder(folder) as season:
            begun(season)
            assert store.read_facts(season).name == "Spring"


@pytest.fixture
def small_disk(tmp_path: Path) -> Iterator[Path]:
    """A disk of 1.5 MiB in memory; skipped where we may not mount one."""
    place = tmp_path / "disk"
    place.mkdir()
    mounted = subprocess.run(
        ["mount", "-t", "tmpfs", "-o", "size=1536k", "none", str(place)],
        capture_output=True,
        text=True,
        check=False,
    )
    if mounted.returncode:
        pytest.skip(f"no small disk can be mounted here ({mounted.stderr.strip()})")
    yield place
    subprocess.run(["umount", "-l", str(place)], check=True)


def fill(place: Path, leave: int) -> Path:
    """Fill a disk up to so many bytes and return the file that does it."""
    ballast = place / "ballast"
    room = os.statvfs(place)
    ballast.write_bytes(b"\0" * max(0, room.f_bavail * room.f_bsize - leave))
    return ballast


def write_until_refused(season: Season, write: Callable[[Season, int], None]) -> tuple[int, str]:
    """Write until it cannot be; return the last number that was and what was said then."""
    for number in range(1, 5000):
        try:
            write(season, number)
        except InputError as error:
            return number - 1, str(error)
    raise AssertionError("the disk was never full")


@pytest.mark.parametrize("kind", sorted(writer.KINDS))
def test_a_full_disk_is_told_and_loses_nothing(small_disk: Path, kind: str) -> None:
    """On a full disk a write is refused in one sentence; all before it is there, and it goes on."""
    with begun(store.make_season_folder(small_disk / "s")) as season:
        ballast = fill(small_disk, 120_000)
        last, said = write_until_refused(season, writer.KINDS[kind])
        assert last > 0
        assert "make room" in said
        assert "\n" not in said
        if kind == "texts":
            assert store.read_draft(season, "Juniper", "opening").text.startswith(f"{last} ")
        ballast.unlink()
        writer.KINDS[kind](season, last + 1)
    numbers, whole = texts_of(small_disk / "s", kind)
    assert whole
    assert numbers == ([last + 1] if kind == "texts" else list(range(1, last + 2)))


def test_a_season_opens_on_a_full_disk_or_says_why_not(small_disk: Path) -> None:
    """With no room at all, opening reads what is there or gives one sentence, never damage."""
    with begun(store.make_season_folder(small_disk / "s")) as season:
        store.save_draft(season, "Juniper", "opening", "Dear", 0)
    ballast = fill(small_disk, 0)
    said, found = "", "Dear"
    try:
        with store.open_season_folder(small_disk / "s") as season:
            found = store.read_draft(season, "Juniper", "opening").text
    except InputError as error:
        said = str(error)
    assert found == "Dear"
    assert not said or "room" in said
    ballast.unlink()
    with store.open_season_folder(small_disk / "s") as season:
        assert store.read_draft(season, "Juniper", "opening").text == "Dear"


def test_a_file_that_may_not_grow_is_told_and_loses_nothing(in_a_file: Season) -> None:
    """Without leave to mount: where the system lets no file grow, the same holds."""
    before = resource.getrlimit(resource.RLIMIT_FSIZE)
    resource.setrlimit(resource.RLIMIT_FSIZE, (400_000, before[1]))
    try:
        last, said = write_until_refused(in_a_file, writer.write_remark)
    finally:
        resource.setrlimit(resource.RLIMIT_FSIZE, before)
    assert last > 0
    assert "make room" in said
    writer.write_remark(in_a_file, last + 1)
    in_a_file.close()
    numbers, whole = texts_of(in_a_file.folder, "remarks")
    assert whole
    assert numbers == list(range(1, last + 2))


def test_two_programs_write_at_once(in_a_file: Season) -> None:
    """Two programs that write together wait for each other; all that either said is there."""
    folder = in_a_file.folder
    in_a_file.close()
    both = [start(folder, "entries", 1), start(folder, "entries", 100_000)]
    said = {int(one.stdout.readline()) for one in both if one.stdout is not None}
    time.sleep(0.7)
    for process in both:
        process.send_signal(signal.SIGTERM)
    said |= {int(line) for one in both for line in one.communicate()[0].split("\n")[:-1]}
    numbers, whole = texts_of(folder, "entries")
    assert whole
    assert said <= set(numbers)
    assert min(said) < 100_000 <= max(said), "one of them never got its turn"


def test_two_threads_at_one_text_lose_no_word(season: Season) -> None:
    """Two tabs that type into one text: each word is in a revision that stood or kept beside."""
    refused: list[str] = []

    def type_on(name: str) -> None:
        for number in range(25):
            now = store.read_draft(season, "Juniper", "opening")
            try:
                store.save_draft(
                    season, "Juniper", "opening", f"{now.text} {name}{number}", now.revision
                )
            except StaleError:
                refused.append(f"{name}{number}")

    threads = [threading.Thread(target=type_on, args=(name,)) for name in "ab"]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    stood = store.read_draft(season, "Juniper", "opening").text.split()
    aside = [one.text.split()[-1] for one in store.texts_set_aside(season, "Juniper")]
    assert sorted(stood + aside) == sorted(
        f"{name}{number}" for name in "ab" for number in range(25)
    )
    assert sorted(aside) == sorted(refused)


def test_a_database_that_does_not_answer_is_told(tmp_path: Path) -> None:
    """A season whose database cannot be reached says so in one sentence."""
    url = f"postgresql+psycopg://teacher@/nothing?host={tmp_path}"
    with pytest.raises(InputError, match="does not answer") as told:
        store.make_season_folder(tmp_path / "s", url)
    assert "\n" not in str(told.value)
    with pytest.raises(InputError, match="cannot be used"):
        store.make_season_folder(tmp_path / "t", "nonsense://x")
