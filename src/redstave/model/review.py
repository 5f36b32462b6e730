"""A finished run of the checks over one entry, with its provenance."""

from dataclasses import dataclass

from redstave.model.finding import Claim, Finding, NotAssessed


@dataclass(frozen=True, slots=True)
class Provenance:
    """What a review rests on; the same provenance gives the same review, byte for byte."""

    file: str
    sha256: str
    format: str
    redstave: str
    data_edition: str
    forces: str
    hall: str
    players: str
    settings: tuple[tuple[str, str, float], ...]  # slug, setting, value: only what was changed
    checks: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Review:
    """All that was found in one entry. `findings` carry their claim and stand in order of place.

    `left_out` counts faults that a teacher's own limit keeps out of a letter; it is never silent.
    `ways` holds, by index of the finding, the ways out that were tried and heard again in full.
    """

    entry: str
    title: str
    provenance: Provenance
    findings: tuple[Finding, ...]
    not_assessed: tuple[NotAssessed, ...]
    silent: tuple[str, ...]
    left_out: int = 0
    ways: tuple[tuple[int, tuple[str, ...]], ...] = ()

    def ways_of(self, finding: Finding) -> tuple[str, ...]:
        """Return the ways out that were tried for a finding, as sentences."""
        found = (texts for at, texts in self.ways if self.findings[at] is finding)
        return next(found, ())

    @property
    def faults(self) -> tuple[Finding, ...]:
        """The findings that are not credits."""
        return tuple(finding for finding in self.findings if finding.claim is not Claim.CREDIT)

    @property
    def credits(self) -> tuple[Finding, ...]:
        """What the entry has earned."""
        return tuple(finding for finding in self.findings if finding.claim is Claim.CREDIT)
