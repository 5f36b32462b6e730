"""The errors a user can meet.

RedstaveError
├── InputError    the file or the request cannot be used: one clear sentence, exit status 2
│   └── StaleError    a text was changed elsewhere since it was read; both are kept
└── DataError     a data file of ours breaks its own rules (unit, uncertainty, source): never loads
"""


class RedstaveError(Exception):
    """Base of all errors raised on purpose."""


class InputError(RedstaveError):
    """What the user gave cannot be used; the message is one sentence that says what to do."""


class DataError(RedstaveError):
    """A data file lacks a unit, an uncertainty or a source, or names one that does not exist."""


class StaleError(InputError):
    """A text was changed elsewhere since it was read: refused, and both texts are kept.

    `field` names the text of the entry `code`, `mine` is what was refused, `theirs` what stands
    there now, `revision` the number of the newest.
    """

    def __init__(self, code: str, field: str, mine: str, theirs: str, revision: int) -> None:
        super().__init__(
            f"the {field} of {code} was changed elsewhere meanwhile (it is now at revision "
            f"{revision}); nothing was overwritten and your text is kept beside it: read both and "
            "save again"
        )
        self.code, self.field = code, field
        self.mine, self.theirs, self.revision = mine, theirs, revision
