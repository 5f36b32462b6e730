"""Seasons on disk: the only room that speaks SQL. Every write is on disk when it returns."""

from redstave.store.copying import copy_to
from redstave.store.decisions import acceptance, decide, decisions
from redstave.store.drafts import (
    done_with_set_aside,
    earlier_drafts,
    read_draft,
    read_drafts,
    save_draft,
    texts_set_aside,
)
from redstave.store.entries import (
    add_seconds,
    add_version,
    open_names,
    read_criteria,
    read_entries,
    read_entry,
    read_facts,
    sealed_names,
    set_stage,
    write_criteria,
    write_facts,
)
from redstave.store.files import keep_bytes, kept_bytes
from redstave.store.grades import (
    give_grade,
    grade_revisions,
    graded_at,
    lock_grades,
    read_sheet,
    take_grade_back,
    unlock_grades,
)
from redstave.store.log import read_log
from redstave.store.phrases import count_use, read_phrases, remove_phrase, write_phrases
from redstave.store.remarks import (
    add_remark,
    order_remarks,
    read_remark,
    read_remarks,
    remark_history,
    revise_remark,
    withdraw_remark,
)
from redstave.store.reviews import (
    add_review,
    newest_findings,
    newest_review,
    provenance_key,
    read_reviews,
)
from redstave.store.season import Season, make_season_folder, open_season_folder
from redstave.store.settings import move_threshold, switch_check, switches, thresholds
from redstave.store.teacher import read_word, write_word

__all__ = [
    "Season",
    "acceptance",
    "add_remark",
    "add_review",
    "add_seconds",
    "add_version",
    "copy_to",
    "count_use",
    "decide",
    "decisions",
    "done_with_set_aside",
    "earlier_drafts",
    "give_grade",
    "grade_revisions",
    "graded_at",
    "keep_bytes",
    "kept_bytes",
    "lock_grades",
    "make_season_folder",
    "move_threshold",
    "newest_findings",
    "newest_review",
    "open_names",
    "open_season_folder",
    "order_remarks",
    "provenance_key",
    "read_criteria",
    "read_draft",
    "read_drafts",
    "read_entries",
    "read_entry",
    "read_facts",
    "read_log",
    "read_phrases",
    "read_remark",
    "read_remarks",
    "read_reviews",
    "read_sheet",
    "read_word",
    "remark_history",
    "remove_phrase",
    "revise_remark",
    "save_draft",
    "sealed_names",
    "set_stage",
    "switch_check",
    "switches",
    "take_grade_back",
    "texts_set_aside",
    "thresholds",
    "unlock_grades",
    "withdraw_remark",
    "write_criteria",
    "write_facts",
    "write_phrases",
    "write_word",
]
