"""All use cases of a season in one place: `from redstave.app import seasons`.

They stand apart from the other use cases because they need the database, which a single review does
not.
"""

from redstave.app.compute import Computed, compute, is_up_to_date
from redstave.app.criteria_file import STARTERS, criteria_json, criteria_named
from redstave.app.grading import give, grades_json, lock
from redstave.app.intake import Added, add_bytes, add_files
from redstave.app.judging import (
    NO_WISH,
    Wish,
    accept,
    dismiss,
    findings_json,
    merge,
    reopen,
    suggest,
)
from redstave.app.kept_entry import (
    analysis_of,
    original_of,
    review_of,
    score_of,
    version_of,
    xml_of_entry,
)
from redstave.app.lessons import lessons_json
from redstave.app.letter_of import letter_of
from redstave.app.phrase_book import (
    add_phrase,
    export_phrases,
    find_phrases,
    import_phrases,
    phrase_json,
    phrase_named,
    suggestions,
)
from redstave.app.remarks import (
    change_remark,
    link_trial,
    own_remark,
    remark_json,
    spots_at,
    trial_of,
)
from redstave.app.requests import read_changes
from redstave.app.season import (
    copy_season,
    is_blind,
    new_season,
    open_names,
    open_season,
    season_json,
)
from redstave.app.season_settings import checks_json, move, moved, put_back, settings_of, switch
from redstave.app.versions import carry_over, compare, comparison_json
from redstave.store import (
    Season,
    newest_review,
    order_remarks,
    read_criteria,
    read_draft,
    read_entry,
    read_log,
    read_remark,
    read_remarks,
    remark_history,
    remove_phrase,
    save_draft,
    set_stage,
    texts_set_aside,
    unlock_grades,
    withdraw_remark,
    write_criteria,
)

__all__ = [
    "NO_WISH",
    "STARTERS",
    "Added",
    "Computed",
    "Season",
    "Wish",
    "accept",
    "add_bytes",
    "add_files",
    "add_phrase",
    "analysis_of",
    "carry_over",
    "change_remark",
    "checks_json",
    "compare",
    "comparison_json",
    "compute",
    "copy_season",
    "criteria_json",
    "criteria_named",
    "dismiss",
    "export_phrases",
    "find_phrases",
    "findings_json",
    "give",
    "grades_json",
    "import_phrases",
    "is_blind",
    "is_up_to_date",
    "lessons_json",
    "letter_of",
    "link_trial",
    "lock",
    "merge",
    "move",
    "moved",
    "new_season",
    "newest_review",
    "open_names",
    "open_season",
    "order_remarks",
    "original_of",
    "own_remark",
    "phrase_json",
    "phrase_named",
    "put_back",
    "read_changes",
    "read_criteria",
    "read_draft",
    "read_entry",
    "read_log",
    "read_remark",
    "read_remarks",
    "remark_history",
    "remark_json",
    "remove_phrase",
    "reopen",
    "review_of",
    "save_draft",
    "score_of",
    "season_json",
    "set_stage",
    "settings_of",
    "spots_at",
    "suggest",
    "suggestions",
    "switch",
    "texts_set_aside",
    "trial_of",
    "unlock_grades",
    "version_of",
    "withdraw_remark",
    "write_criteria",
    "xml_of_entry",
]
