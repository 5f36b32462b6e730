"""The desk itself: an open season, a few entries laid open, the painter."""

import gc
from collections import OrderedDict
from contextlib import suppress
from pathlib import Path
from threading import RLock, Thread

from redstave.app import seasons, teachers_word
from redstave.app.desk import Opened, Painter, being_read
from redstave.app.desk.computing import Computing
from redstave.app.desk.origin_page import Origins
from redstave.app.desk.word_page import with_new_word
from redstave.base.errors import InputError
from redstave.model.teacher import TeachersWord
from redstave.render.systems import PictureStore
from redstave.store import Season

Key = tuple[str, str, int]  # code, what its review rests on, revision of the teacher's word

MOST_OPENED = 2  # entries kept in memory (a large one takes 200 MB): the one read, and another


class Desk:
    """What the pages of one season share. Close it when done."""

    def __init__(self, season: Season, pictures: Path, painters: int = 2) -> None:
        store = PictureStore(pictures)
        store.tidy()
        self.season = season
        self.painter = Painter(store, painters)
        self.computing = Computing(season.folder)
        self.origins = Origins(season)
        self._opened: OrderedDict[Key, Opened] = OrderedDict()
        self._lock = RLock()

    def opened(self, code: str) -> Opened:
        """Return an entry laid open; InputError where there is none or it was not computed yet."""
        review = seasons.review_of(self.season, code)
        told = teachers_word.told(self.season, code)
        key = (code, repr(review.provenance), told.revision)
        with self._lock:
            if key not in self._opened:
                self._opened[key] = self._again(key, told.word) or self._lay_open(code)
                while len(self._opened) > MOST_OPENED:
                    self._opened.popitem(last=False)
                look_no_more()
            self._opened.move_to_end(key)
            return self._opened[key]

    def _again(self, key: Key, word: TeachersWord) -> Opened | None:
        """Return an entry laid open before, with what the teacher says of it now in it."""
        for known in [one for one in self._opened if one[:2] == key[:2]]:
            return with_new_word(self._opened.pop(known), word)
        return None

    def _lay_open(self, code: str) -> Opened:
        return Opened(
            code,
            seasons.analysis_of(self.season, code),
            seasons.review_of(self.season, code),
            seasons.xml_of_entry(self.season, code),
        )

    def warm(self) -> None:
        """Lay the entry that is being read open in the background, so that it is there at once."""
        code = being_read(self.season)
        if code:
            Thread(target=self._warm, args=(code,), name="warming", daemon=True).start()

    def _warm(self, code: str) -> None:
        with suppress(InputError):  # told when somebody asks for it
            self.opened(code)

    def close(self) -> None:
        """Stop what works in the background and close the season."""
        self.computing.close()
        self.painter.close()
        self.season.close()


def look_no_more() -> None:
    """Let the collector pass over what stays: to go through a large entry takes it 0.2 s."""
    gc.unfreeze()
    gc.collect()
    gc.freeze()
