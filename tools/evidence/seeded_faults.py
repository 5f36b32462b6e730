"""Faults planted in masters' scores, and how many of them a review finds.

Each kind of fault is planted by changing real scores at places drawn at random (seeded) among those
where the page allows it; the copy is then read and reviewed anew. A fault counts as found when the
expected check speaks in its part within a bar of it, and did not speak there before. Then how often
checks speak of the untouched masters: each finding counts, credits left out.
"""

from benchmarks.seeded_faults import table

__all__ = ["table"]
