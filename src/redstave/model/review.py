"""A finished run of the checks over one entry, with its provenance."""

from dataclasses import dataclass

from redstave.model.finding import SEVERITY, Claim, Explains, Finding, NotAssessed


@dataclass(frozen=True, slots=True)
class Provenance:
    """What a review rests on; the same provenance gives the same review, byte for byte.

    `original` is the SHA-256 of the piano piece ("" without one), `cuts` are the bars where the
    teacher lets sections begin (indices), and `told` names his word on bars, voices and roles (""
    if he has said nothing).
    """

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
    original: str = ""
    cuts: tuple[int, ...] = ()
    told: str = ""


@dataclass(frozen=True, slots=True)
class Review:
    """All that was found in one entry. `findings` carry their claim and stand in order of place.

    `left_out` counts faults that a teacher's own limit keeps out of a letter; it is never silent.
    `ways` holds, by index of the finding, the ways out that were tried and heard again in full;
    `untried` counts the findings of covered lines for which there was no time to try any.
    `explains` tells which findings explain which others. `beside` is, for every bar of the entry,
    the bar of the original (index) that it stands for, -1 for none; empty where the entry is
    another piece, None without an original.
    """

    entry: str
    title: str
    provenance: Provenance
    findings: tuple[Finding, ...]
    not_assessed: tuple[NotAssessed, ...]
    silent: tuple[str, ...]
    left_out: int = 0
    ways: tuple[tuple[int, tuple[str, ...]], ...] = ()
    untried: int = 0
    explains: tuple[Explains, ...] = ()
    beside: tuple[int, ...] | None = None

    def ways_of(self, finding: Finding) -> tuple[str, ...]:
        """Return the ways out that were tried for a finding, as sentences."""
        found = (texts for at, texts in self.ways if self.findings[at] is finding)
        return next(found, ())

    def explained_by(self, finding: Finding) -> tuple[tuple[Finding, str], ...]:
        """Return the findings that explain a finding, each with the reason."""
        pairs = [(self.findings[one.cause], one.why) for one in self.explains]
        others = [self.findings[one.other] for one in self.explains]
        return tuple(pair for pair, other in zip(pairs, others, strict=True) if other is finding)

    def explained(self, finding: Finding) -> tuple[Finding, ...]:
        """Return the findings that a finding explains, in order of place."""
        found = [one for one in self.explains if self.findings[one.cause] is finding]
        return tuple(self.findings[one.other] for one in found)

    @property
    def by_consequence(self) -> tuple[Finding, ...]:
        """The faults by how much hangs on them.

        Graver claims come first; among equals what nothing else explains, then what explains most,
        then what stands in most places, then what stands first.
        """
        return tuple(sorted(self.faults, key=self._consequence))

    def _consequence(self, finding: Finding) -> tuple[int, bool, int, int]:
        return (
            -SEVERITY[finding.claim or Claim.RISK],
            bool(self.explained_by(finding)),
            -len(self.explained(finding)),
            -len(finding.spots),
        )

    @property
    def faults(self) -> tuple[Finding, ...]:
        """The findings that are not credits."""
        return tuple(finding for finding in self.findings if finding.claim is not Claim.CREDIT)

    @property
    def credits(self) -> tuple[Finding, ...]:
        """What the entry has earned."""
        return tuple(finding for finding in self.findings if finding.claim is Claim.CREDIT)
