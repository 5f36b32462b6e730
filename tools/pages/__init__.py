"""Pages of the documentation that are made from the program itself."""

from tools.pages import checks, instruments, sources, words

__all__ = ["pages"]


def pages() -> dict[str, str]:
    """Return every generated page, by its path below docs/."""
    return checks.pages() | instruments.pages() | sources.pages() | words.pages()
