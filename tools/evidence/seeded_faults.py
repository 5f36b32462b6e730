"""The chapter on planted faults: the bench of that name, in its words."""

from benchmarks import seeded_faults
from benchmarks.seeded_faults import table

__all__ = ["table"]
__doc__ = seeded_faults.__doc__
