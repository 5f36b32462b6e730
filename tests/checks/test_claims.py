"""How sure a finding may sound follows from what the page proves."""

import pytest

from redstave.analysis import Analysis
from redstave.checks import catalogue, run_checks
from redstave.model.finding import Claim, Finding
from redstave.reading import read_bytes

HEAD = """title: Claims
meter: 4/4
key: 0
tempo: 72 "Adagio"
pitch: written
"""
VIOLA = "part Viola | clef=alto\nf"


def found(slug: str, music: str) -> tuple[Finding, ...]:
    """Run one check over a few bars."""
    score = read_bytes((HEAD + music).encode(), "claims.tiny")
    outcome = run_checks(Analysis(score), [catalogue()[slug]])
    assert outcome.not_assessed == ()
    return outcome.findings


def claims(slug: str, music: str) -> list[Claim | None]:
    """Return the claims of what one check finds in a few bars."""
    return [finding.claim for finding in found(slug, music)]


@pytest.mark.parametrize(
    ("part", "claim"),
    [
        ("part Violin I | clef=treble\nf F#3/1 |", Claim.IMPOSSIBLE),
        ("part Clarinet in B♭ | clef=treble | transpose=-2\nf Eb3/1 |", Claim.IMPOSSIBLE),
        ("part Oboe | clef=treble\nf A3/1 |", Claim.RISK),
        ("part Oboe | clef=treble\nf G3/1 |", Claim.IMPOSSIBLE),
        ("part Piccolo | clef=treble\nf E4/1 |", Claim.QUESTION),
        ("part Glockenspiel | clef=treble\nf A3/1 |", Claim.QUESTION),
    ],
)
def test_compass_is_proved_beyond_its_doubt_only(part: str, claim: Claim) -> None:
    """Beyond the uncertainty impossible, within it a risk, an octave left out is asked about."""
    assert claims("pitch-outside-instrument", part) == [claim]


@pytest.mark.parametrize(
    ("chords", "claim"),
    [
        ("[C3 E3]/4 [D3 F3] [C3 E3] [D3 F3]", Claim.IMPOSSIBLE),
        ("[F4 D5]/4 [G4 E5] [F4 D5] [G4 E5]", Claim.QUESTION),
    ],
)
def test_missing_division_is_proved_by_what_nobody_can_hold(chords: str, claim: Claim) -> None:
    """An unmarked series is a question as long as it could be played undivided."""
    assert claims("division-not-marked", f"part Viola | clef=alto\nf {chords} |") == [claim]


def test_only_what_nobody_can_hold_is_said_to_be_so() -> None:
    """A double stop that one player could take is asked about without a false reason."""
    (asked,) = found("division-not-marked", f"{VIOLA} [F4 D5]/4 [G4 E5] [F4 D5] [G4 E5] |")
    (proved,) = found("division-not-marked", f"{VIOLA} [C3 E3]/4 [D3 F3] [C3 E3] [D3 F3] |")
    assert "no single player" not in dict(asked.facts)["reason"]
    assert "no single player" in dict(proved.facts)["reason"]


@pytest.mark.parametrize(
    ("bar", "claim"),
    [
        ("[D3 F3]/1", Claim.RISK),
        ("[D3 F3 A4]/1", Claim.IMPOSSIBLE),
        ('"non div." [D3 F3]/1', Claim.IMPOSSIBLE),
        ('"solo" [D3 F3]/1', Claim.RISK),
    ],
)
def test_a_faulty_stop_is_a_risk_where_players_may_divide(bar: str, claim: Claim) -> None:
    """One double note, or a solo on the section's stave, may be divided; a triple stop is meant."""
    assert claims("stop-needs-same-string", f"part Viola | clef=alto\nf {bar} |") == [claim]


def test_one_fault_is_told_once() -> None:
    """What division-not-marked tells of a part, stop-needs-same-string does not tell again."""
    music = "part Viola | clef=alto\nf [C3 E3]/1 | C4/1 | R | [C3 E3]/4 [D3 F3] [C3 E3] [D3 F3] |"
    (told,) = found("division-not-marked", music)
    assert [spot.bar for spot in told.spots] == [0, 3]
    assert found("stop-needs-same-string", music) == ()


def test_a_bass_with_an_extension_has_its_low_octave() -> None:
    """Sounding C1 and C2 lie on two strings of an extended double bass, E1 and G1 on one."""
    bass = 'part Double Bass | clef=bass | transpose=-12\nf "non div." '
    assert claims("stop-needs-same-string", f"{bass} [C2 C3]/1 |") == []
    assert claims("stop-needs-same-string", f"{bass} [E2 G2]/1 |") == [Claim.IMPOSSIBLE]


@pytest.mark.parametrize(
    ("goal", "claim"), [("p", Claim.IMPOSSIBLE), ("mf", Claim.RISK), ("f", None)]
)
def test_a_swell_contradicts_a_lower_goal_and_doubts_an_equal_one(
    goal: str, claim: Claim | None
) -> None:
    """Crescendo from mf: to p it is a contradiction, to mf a risk, to f what it says."""
    music = f"part Flute | clef=treble\nmf C5/1 | < D5/4 E5 F5 G5 | = {goal} A5/1 |"
    assert claims("swell-contradicts-goal", music) == ([claim] if claim else [])


def test_div_is_certain_nonsense_for_one_player_only() -> None:
    """One flute cannot divide; two on a stave may be told so, if not in the usual words."""
    one = 'part Flute 1 | clef=treble\nf "div." C5/1 |'
    two = 'part Flute 1. 2 | clef=treble\nf "div." [C5 E5]/1 |'
    assert claims("residue-from-other-family", one) == [Claim.IMPOSSIBLE]
    assert claims("residue-from-other-family", two) == [Claim.QUESTION]


def _retuned(sign: str) -> list[str]:
    """Return the checks' findings of range on a violin with an F3 under a direction."""
    note = "<note><pitch><step>F</step><octave>3</octave></pitch><duration>4</duration></note>"
    drawn = f"<direction><direction-type>{sign}</direction-type></direction>"
    score = read_bytes(
        '<score-partwise version="4.0"><part-list><score-part id="P1"><part-name>Violin'
        '</part-name></score-part></part-list><part id="P1"><measure number="1"><attributes>'
        f"<divisions>1</divisions></attributes>{drawn}{note}</measure></part>"
        "</score-partwise>".encode(),
        "retuned.musicxml",
    )
    done = run_checks(Analysis(score), [catalogue()["pitch-outside-instrument"]])
    return [finding.slug for finding in done.findings]


def test_a_retuned_violin_may_go_below_its_g() -> None:
    """A scordatura told in a word or drawn (MusicXML 4.0, <scordatura>)."""
    accord = "<tuning-step>F</tuning-step><tuning-octave>3</tuning-octave>"
    drawn = f'<scordatura><accord string="4">{accord}</accord></scordatura>'
    assert _retuned("<words>dolce</words>") == ["pitch-outside-instrument"]
    assert not _retuned("<words>scordatura</words>")
    assert not _retuned(drawn)


@pytest.mark.parametrize(("name", "claimed"), [("Flute 1", [Claim.QUESTION]), ("Trumpet 1", [])])
def test_a_mute_is_asked_about_in_the_woodwind_only(name: str, claimed: list[Claim]) -> None:
    """Mutes belong to strings and brass; some woodwind players have one."""
    music = f'part {name} | clef=treble\nf "con sord." C5/1 |'
    assert claims("residue-from-other-family", music) == claimed


def test_an_old_level_that_still_fits_is_asked_about_after_a_long_rest_only() -> None:
    """The others play p as the flute did: four bars of rest are silent, nine are a question."""
    others = "\npart Viola | clef=alto\np C4/1 | " + "C4/1 | " * 10
    short = "part Flute | clef=treble\np C5/1 | R | R | R | R | C5/1 | R | R | R | R | R |"
    long = "part Flute | clef=treble\np C5/1 | R | R | R | R | R | R | R | R | R | C5/1 |"
    assert claims("entry-level-missing", short + others) == []
    assert claims("entry-level-missing", long + others) == [Claim.QUESTION]


def test_a_hairpin_at_a_first_entry_without_level_is_told_once() -> None:
    """The swell lacks its start; the entry itself is not reported again."""
    music = "part Flute | clef=treble\n< C5/4 D5 E5 F5 | = f G5/1 |"
    (swell,) = found("swell-without-start-or-goal", music)
    assert dict(swell.facts)["missing"] == "start"
    assert found("entry-level-missing", music) == ()


def test_settings_move_the_limits() -> None:
    """A teacher who wants every entry marked gets it."""
    music = (
        "part Flute | clef=treble\np C5/1 | R | R | R | R | C5/1 |"
        "\npart Viola | clef=alto\np C4/1 | C4/1 | C4/1 | C4/1 | C4/1 | C4/1 |"
    )
    score = read_bytes((HEAD + music).encode(), "claims.tiny")
    check = catalogue()["entry-level-missing"]
    strict = run_checks(Analysis(score), [check], {check.slug: {"least_step": 0.0}})
    assert [finding.spots[0].bar for finding in strict.findings] == [5]


@pytest.mark.parametrize(
    ("bar", "expected"),
    [("[D5 A5]/1 & D5/1", []), ("[D5 A5]/1 & F5/1", [Claim.IMPOSSIBLE])],
)
def test_a_note_two_voices_share_is_one_note(bar: str, expected: list[Claim]) -> None:
    """Two oboes have no third note in a chord whose lower note is also the second voice."""
    assert claims("more-notes-than-players", f"part 2 Oboi\nmf {bar} |\n") == expected
