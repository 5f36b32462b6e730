"""Redstave reads an orchestral score as an orchestration teacher does.

::

    read(path)        a file of notation -> Score, what is printed
    analyse(score)    Score -> Analysis, who plays what and what the hall hears

Both are documented in docs/library.md, and are imported when they are first used.
"""

from importlib import import_module
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from redstave.app.library import analyse, read

__version__ = "0.1.0"
__all__ = ["__version__", "analyse", "read"]


def __getattr__(name: str) -> Any:
    """Import what belongs to the public face; AttributeError for anything else."""
    if name not in __all__:
        raise AttributeError(f"module 'redstave' has no attribute {name!r}")
    return getattr(import_module("redstave.app.library"), name)


def __dir__() -> list[str]:
    """Return the names of the public face."""
    return sorted(__all__)
