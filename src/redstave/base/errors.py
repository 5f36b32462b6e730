"""The errors a user can meet.

RedstaveError
├── InputError    the file or the request cannot be used: one clear sentence, exit status 2
└── DataError     a data file of ours breaks its own rules (unit, uncertainty, source): never loads
"""


class RedstaveError(Exception):
    """Base of all errors raised on purpose."""


class InputError(RedstaveError):
    """What the user gave cannot be used; the message is one sentence that says what to do."""


class DataError(RedstaveError):
    """A data file lacks a unit, an uncertainty or a source, or names one that does not exist."""
