"""What string checks may claim, and for whom: players, forces, and what the page leaves open."""

import pytest

from redstave.analysis import Analysis, PlayersLevel
from redstave.checks import catalogue, run_checks
from redstave.model.finding import Claim, Finding
from redstave.model.line import Forces
from redstave.reading import read_bytes

HEAD = 'title: Strings\nmeter: 4/4\nkey: 0\ntempo: 96 "Moderato"\npitch: written\n\n'


def analysed(music: str, **changed: object) -> Analysis:
    """Return the analysis of a few bars."""
    return Analysis(read_bytes((HEAD + music).encode(), "strings.tiny"), **changed)  # type: ignore[arg-type]


def found(slug: str, analysis: Analysis) -> tuple[Finding, ...]:
    """Run one check."""
    outcome = run_checks(analysis, [catalogue()[slug]])
    assert outcome.not_assessed == ()
    return outcome.findings


@pytest.mark.parametrize(
    ("level", "fires"),
    [(PlayersLevel.SCHOOL, True), (PlayersLevel.CONSERVATOIRE, False)],
)
def test_a_stretch_is_too_much_at_school(level: PlayersLevel, fires: bool) -> None:
    """A minor tenth in the third position is stretched, not comfortable (common practice)."""
    music = 'part Violin | clef=treble\nf "non div." [C4 Eb5]/1 |'
    assert bool(found("stop-beyond-hand", analysed(music, players_level=level))) is fires


def test_a_broken_tenth_and_a_divided_one_are_nobodys_stretch() -> None:
    """Broken chords are not held together, divided ones not by one hand."""
    broken = 'part Violin | clef=treble\nf "non div." [Bb3:arpeggiate D5:arpeggiate]/1 |'
    assert found("stop-beyond-hand", analysed(broken)) == ()
    whole = 'part Violin | clef=treble\nf "non div." [Bb3 D5]/1 |'
    assert [one.claim for one in found("stop-beyond-hand", analysed(whole))] == [Claim.RISK]


def test_soft_full_chords_are_asked_about_and_tremolo_is_a_risk() -> None:
    """Held at p a question, in tremolo a risk, short at f nothing (common practice)."""
    part = "part Violin | clef=treble\n"
    slug = "sustained-triple-stop"
    soft = found(slug, analysed(part + "p [G3 D4 B4]/2 r |"))
    assert [one.claim for one in soft] == [Claim.QUESTION]
    strokes = found(slug, analysed(part + "f [G3 D4 B4]/4:tremolo3 r r/2 |"))
    assert [one.claim for one in strokes] == [Claim.RISK]
    assert found(slug, analysed(part + "f [G3 D4 B4]/2 r |")) == ()
    assert found(slug, analysed(part + "[G3 D4 B4]/2 r |")) == ()  # no level: nobody knows


@pytest.mark.parametrize(
    ("violas", "claims"),
    [(10, []), (5, []), (4, [Claim.QUESTION]), (2, [Claim.RISK])],
)
def test_a_division_is_thin_for_the_forces_on_stage(violas: int, claims: list[Claim]) -> None:
    """Divided by two: two players to a part are asked about, one is a risk (common practice)."""
    music = 'part Viola | clef=alto\np "div." [C4 E4]/1 |'
    thin = found("too-thin-division", analysed(music, forces=Forces(violas=violas)))
    assert [one.claim for one in thin] == claims


def test_one_slur_under_pizz_is_no_forgotten_arco() -> None:
    """A plucked turn may be slurred once; twice contradicts the word."""
    once = 'part Viola | clef=alto\nf "pizz." C4/4( D4) r/2 | C4/1 |'
    twice = 'part Viola | clef=alto\nf "pizz." C4/4( D4) E4( F4) | C4/1 |'
    assert found("mode-never-cancelled", analysed(once)) == ()
    assert [one.claim for one in found("mode-never-cancelled", analysed(twice))] == [Claim.RISK]


def test_a_forgotten_arco_is_told_once() -> None:
    """What is plucked only because a word is missing is neither too fast nor too long."""
    music = (
        'part Viola | clef=alto\nf "pizz." C4/4( D4) E4( F4) | C4/16 D4 C4 D4 C4 D4 C4 D4 C4/2 |'
        " C4/1~ | C4/1 | C4/1~ | C4/1 |"
    )
    analysis = analysed(music)
    assert len(found("mode-never-cancelled", analysis)) == 1
    assert found("pluck-too-fast", analysis) == ()
    assert found("plucked-length-unclear", analysis) == ()


def test_mutes_that_all_keep_are_meant() -> None:
    """Only where others take theirs off is a mute to the end asked about."""
    bars = "C4/1 | C4/1 | {off} C4/1 | C4/1 |"
    kept = 'part {name} | clef=alto\n"con sord." p ' + bars.format(off="") + "\n\n"
    off = 'part {name} | clef=alto\n"con sord." p ' + bars.format(off='"senza sord."') + "\n\n"
    both = kept.format(name="Viola I") + kept.format(name="Viola II")
    one = kept.format(name="Viola I") + off.format(name="Viola II")
    assert found("mode-never-cancelled", analysed(both)) == ()
    assert [f.claim for f in found("mode-never-cancelled", analysed(one))] == [Claim.QUESTION]


@pytest.mark.parametrize(
    ("notes", "claim"),
    [
        ("[A4 G#5:diamond]/1", Claim.IMPOSSIBLE),
        ("[Bb4 E5:diamond]/1", Claim.RISK),
        ("[Bb4 Eb5:diamond Eb6]/1", Claim.RISK),
        ("C4/1:harmonic", Claim.QUESTION),
        ("G#3/1:harmonic", Claim.IMPOSSIBLE),
    ],
)
def test_harmonics_are_impossible_only_without_a_node(notes: str, claim: Claim) -> None:
    """No node is proved; a high partial or another result is a risk; two readings a question."""
    music = f"part Violin | clef=treble\np {notes} |"
    assert [one.claim for one in found("harmonic-not-producible", analysed(music))] == [claim]


def test_an_up_bow_has_the_finger_at_the_string() -> None:
    """The change is too quick without it, and so is one that ends on a down-bow."""
    music = 'part Viola | clef=alto\nf C4/4 C4 C4 C4/16 C4 C4 C4{sign} | "pizz." C4/4 r r/2 |'
    slug = "pluck-bow-change-time"
    assert found(slug, analysed(music.format(sign=":up-bow"))) == ()
    assert len(found(slug, analysed(music.format(sign=":down-bow")))) == 1


@pytest.mark.parametrize(
    ("bar", "claim"),
    [
        ("[C3 E3]/4 [C3 E3] [C3 E3] [C3 E3] |", Claim.IMPOSSIBLE),
        ("E3/4 E3 E3 E3 & C3/4 C3 C3 C3 |", Claim.QUESTION),
        ("[E3 F3]/4 E3 E3 E3 & C3/4 C3 C3 C3 |", Claim.IMPOSSIBLE),
    ],
)
def test_two_voices_show_how_to_share(bar: str, claim: Claim) -> None:
    """On one stem impossible; in two voices a question, unless one voice alone is too much."""
    analysis = analysed(f"part Viola | clef=alto\nf {bar}")
    assert [one.claim for one in found("division-not-marked", analysis)] == [claim]
