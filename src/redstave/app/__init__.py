"""Use cases: the only place where the rooms are wired together."""

from redstave.app.demo_entry import copy_demo
from redstave.app.entry import open_entry, parse_forces, parse_hall, parse_players
from redstave.app.facts import facts, file_account, themes
from redstave.app.hear import hear
from redstave.app.letter import write_letter
from redstave.app.origin import origin, origin_told, with_cuts, with_original
from redstave.app.requests import Request, read_requests
from redstave.app.review import choose, fails, review
from redstave.app.review_json import review_json
from redstave.app.settings import NO_SETTINGS, read_settings
from redstave.app.stand import players, read_stand, stand, stand_words
from redstave.app.steps import Tell, prepare
from redstave.app.trials import help_heard, try_changes
from redstave.app.tune import tune
from redstave.app.word_use import Saying, said_texts, with_word
from redstave.app.write import write_entry
from redstave.checks.pages import check_pages
from redstave.reading import Row

__all__ = [
    "NO_SETTINGS",
    "Request",
    "Row",
    "Saying",
    "Tell",
    "check_pages",
    "choose",
    "copy_demo",
    "facts",
    "fails",
    "file_account",
    "hear",
    "help_heard",
    "open_entry",
    "origin",
    "origin_told",
    "parse_forces",
    "parse_hall",
    "parse_players",
    "players",
    "prepare",
    "read_requests",
    "read_settings",
    "read_stand",
    "review",
    "review_json",
    "said_texts",
    "stand",
    "stand_words",
    "themes",
    "try_changes",
    "tune",
    "with_cuts",
    "with_original",
    "with_word",
    "write_entry",
    "write_letter",
]
