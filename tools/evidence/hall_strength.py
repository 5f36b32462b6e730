"""Strength of sound in a hall by distance.

G in dB by Barron's revised theory (Barron and Lee 1988) for five sizes of hall, mid frequencies;
the level at a seat is the sound power level less 31 dB plus G. In brackets the share of the energy
that arrives later than 80 ms, in per cent.
"""

from redstave.acoustics import hall_gain_db
from redstave.acoustics.hall import strength

HALLS = ((10000, 1.5), (15000, 2.0), (18750, 1.9), (21000, 1.95), (25000, 2.1))
DISTANCES = (10, 15, 20, 25, 30, 40)


def _cell(distance_m: float, volume_m3: float, reverberation_s: float) -> str:
    heard = strength(distance_m, volume_m3, reverberation_s)
    late = heard.late / (heard.direct + heard.early + heard.late)
    return f"{hall_gain_db(distance_m, volume_m3, reverberation_s):.1f} ({100 * float(late):.0f})"


def table() -> str:
    """Compute G and the late share for every hall and distance."""
    head = [
        "| volume, m3 | T, s | " + " | ".join(f"{r} m" for r in DISTANCES) + " |",
        "|" + "---|" * (2 + len(DISTANCES)),
    ]
    rows = (
        f"| {volume} | {decay} | " + " | ".join(_cell(r, volume, decay) for r in DISTANCES) + " |"
        for volume, decay in HALLS
    )
    return "\n".join([*head, *rows])
