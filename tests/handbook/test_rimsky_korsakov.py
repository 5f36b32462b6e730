"""Rimsky-Korsakov, Principles of Orchestration (1913), chapter I, against computed loudness.

What does not hold is marked as a strict expected failure with its reason: it fails the suite on the
day it starts to hold.
"""

import pytest

from redstave.instruments import load
from tools.evidence import rimsky_korsakov as rk
from tools.evidence import struck_and_plucked as struck

TUBA = "with the slope published for the tuba it comes out at 0.6: the rule may be about mass"
LOW_CELLOS = "six cellos on F3 come out a little too weak: their measured spectrum is dark"


def cells(ratios: list[rk.Ratio], failing: dict[tuple[str, str], str]) -> list:
    """Ratios that count, as parameters; those that are known to fail as expected failures."""
    return [
        pytest.param(
            ratio,
            id=f"{ratio.what} {ratio.pitch}",
            marks=pytest.mark.xfail(reason=failing[ratio.what, ratio.pitch], strict=True)
            if (ratio.what, ratio.pitch) in failing
            else (),
        )
        for ratio in ratios
        if ratio.counts
    ]


@pytest.mark.parametrize("ratio", cells(rk.brass_at_forte(), {("1 tuba / 1 trombone", "F3"): TUBA}))
def test_one_trumpet_weighs_as_much_as_two_horns_or_a_trombone(ratio: rk.Ratio) -> None:
    """RK1, forte: 1 trumpet = 1 trombone = 1 tuba = 2 horns, within 0.65-1.35 in sone."""
    assert 0.65 <= ratio.value <= 1.35


@pytest.mark.parametrize("ratio", cells(rk.wood_at_forte(), {}))
def test_one_horn_weighs_as_much_as_two_woodwinds(ratio: rk.Ratio) -> None:
    """RK2, forte: 1 horn = 2 flutes = 2 oboes = 2 clarinets = 2 bassoons, within 0.65-1.35."""
    assert 0.65 <= ratio.value <= 1.35


@pytest.mark.parametrize(("pitch", "winds"), list(rk.winds_at_piano().items()))
def test_winds_are_fairly_equal_at_piano(pitch: str, winds: dict[str, float]) -> None:
    """RK3, piano: the loudest wind has at most 2.5 times the sones of the softest.

    The soft levels were weighed against this rule and RK4: it shows that they were, no more.
    """
    assert len(winds) >= 3, pitch
    assert max(winds.values()) / min(winds.values()) <= 2.5


@pytest.mark.parametrize("ratio", cells(rk.strings("RK4 p", "p", 1), {}))
def test_a_string_department_weighs_as_much_as_one_wind_at_piano(ratio: rk.Ratio) -> None:
    """RK4, piano: one whole department of a medium orchestra = 1 wind, within 0.6-1.8."""
    assert 0.6 <= ratio.value <= 1.8


@pytest.mark.parametrize(
    "ratio", cells(rk.strings("RK5 f", "f", 2), {("6 cello / 2 wood", "F3"): LOW_CELLOS})
)
def test_a_string_department_weighs_as_much_as_two_winds_at_forte(ratio: rk.Ratio) -> None:
    """RK5, forte: one whole department of a medium orchestra = 2 winds, within 0.6-1.8."""
    assert 0.6 <= ratio.value <= 1.8


@pytest.mark.parametrize("pitch", ["C4", "A4", "E5"])
def test_sustained_groups_overpower_plucked_strings_celesta_and_soft_piano(pitch: str) -> None:
    """RK7: at one pitch and level every pair of winds, and the same strings bowed, is louder.

    Six bowed cellos on A4, high for them, are not: twelve plucked violins reach 1.1 times theirs.
    """
    midi = rk.PITCHES[pitch]
    weak = [
        rk.sone("violin", midi, "mf", 12, "pizz"),
        rk.sone("celesta", midi, "mf"),
        rk.sone("piano", midi, "p"),
    ]
    strong = [rk.sone(wind, midi, "mf", 2) for wind in rk.WINDS if rk.surely_has(wind, midi)]
    assert max(weak) < min([*strong, rk.sone("violin", midi, "mf", 12)])


@pytest.mark.parametrize("group", struck.GROUPS)
@pytest.mark.parametrize("instrument", struck.PREVAILING)
def test_struck_metal_wood_and_timpani_prevail(instrument: str, group: str) -> None:
    """RK8: at forte each is heard at its attack over a chord of any one group.

    The level of tubular bells was taken from this rule, no other source being known.
    """
    midi = struck.PREVAILING[instrument]
    assert struck.margin(instrument, midi, "f", None, 1, group) > 0.0


def test_the_clarinet_has_the_finest_nuance() -> None:
    """RK10: from pp to ff the clarinet spans more than flute, oboe and bassoon; reeds the least."""
    span = {wood: load()[wood].level.power[-1] - load()[wood].level.power[0] for wood in rk.WOOD}
    assert span["clarinet"] == max(span.values())
    assert max(span["oboe"], span["bassoon"]) < min(span["clarinet"], span["flute"])
