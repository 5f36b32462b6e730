"""The seconds string players are given, against the figures of the handbooks."""

import pytest

from redstave.analysis import Analysis, PlayersLevel
from redstave.checks import catalogue, run_checks
from redstave.model.finding import Claim, Finding
from redstave.reading import read_bytes


def found(
    slug: str, music: str, tempo: str, level: PlayersLevel = PlayersLevel.CONSERVATOIRE
) -> tuple[Finding, ...]:
    """Run one check over a few bars at a tempo."""
    head = f"title: Times\nmeter: 4/4\nkey: 0\ntempo: {tempo}\npitch: written\n\n"
    score = read_bytes((head + music).encode(), "times.tiny")
    outcome = run_checks(Analysis(score, players_level=level), [catalogue()[slug]])
    assert outcome.not_assessed == ()
    return outcome.findings


MUTES_ON = 'part Viola | clef=alto\np C4/1 | {rest} | "con sord." E4/1 |'


@pytest.mark.parametrize(
    ("tempo", "rest", "claims"),
    [
        (96, "R*2", []),
        (108, "R*2", []),
        (120, "R*2", [Claim.QUESTION]),
        (96, "R", [Claim.QUESTION]),
        (126, "R", [Claim.RISK]),
    ],
)
def test_two_bars_of_moderate_time_are_enough_for_the_mutes(
    tempo: int, rest: str, claims: list[Claim]
) -> None:
    """Berlioz (second-hand): two bars of 4/4 moderato, 4.4 s at 108 and 5.0 s at 96."""
    findings = found("string-mute-time", MUTES_ON.format(rest=rest), f'{tempo} "Moderato"')
    assert [finding.claim for finding in findings] == claims


def test_mutes_come_off_faster_than_they_go_on() -> None:
    """One bar at 96 is 2.5 s: asked about when they go on, enough to take them off."""
    off = 'part Viola | clef=alto\n"con sord." p C4/1 | R | "senza sord." E4/1 |'
    assert found("string-mute-time", off, '96 "Moderato"') == ()


PLUCKED = "part {part} | clef={clef}\nmf " + '"pizz." ' + "G4/8 A4 G4 A4 G4 A4 G4 A4 |"


@pytest.mark.parametrize("tempo", [150, 180, 210])
def test_the_thicker_the_string_the_slower(tempo: int) -> None:
    """What is too fast for the violins is too fast for the violas and cellos (rk)."""
    fires = [
        bool(found("pluck-too-fast", PLUCKED.format(part=part, clef=clef), f'{tempo} "Allegro"'))
        for part, clef in (("Violin", "treble"), ("Viola", "alto"), ("Violoncello", "tenor"))
    ]
    assert fires == sorted(fires)


def test_better_players_pluck_faster() -> None:
    """Five notes a second are too much at school, not at a conservatoire."""
    music = PLUCKED.format(part="Violin", clef="treble")
    assert found("pluck-too-fast", music, '156 "Allegro"', PlayersLevel.SCHOOL)
    assert not found("pluck-too-fast", music, '156 "Allegro"')


def test_an_assumed_tempo_makes_no_risk() -> None:
    """Where the page names no number the finding is a question, and says so."""
    music = 'part Violin | clef=treble\nmf "pizz." G4/16 A4 G4 A4 G4 A4 G4 A4 r/2 |'
    (sure,) = found("pluck-too-fast", music, '120 "Allegro"')
    (asked,) = found("pluck-too-fast", music, '"Allegro"')
    assert (sure.claim, asked.claim) == (Claim.RISK, Claim.QUESTION)
    assert "tempo" in {evidence.quantity for evidence in asked.evidence}
    assert "tempo" not in {evidence.quantity for evidence in sure.evidence}
