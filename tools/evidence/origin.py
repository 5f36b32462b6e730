"""The chapter on originals and entries: the bench of that name, in its words."""

from benchmarks import origin
from benchmarks.origin import table

__all__ = ["table"]
__doc__ = origin.__doc__
