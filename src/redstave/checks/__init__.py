"""The catalogue of checks: one file each, in a folder for each family.

A check reads an Analysis and yields Findings, which are data; the sentences are made in `render`.
No check imports another.
"""

from redstave.checks.registry import catalogue
from redstave.checks.run import Outcome, run_checks

__all__ = ["Outcome", "catalogue", "run_checks"]
