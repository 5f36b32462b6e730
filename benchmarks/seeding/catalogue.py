"""The kinds of fault that are planted, each with the checks that should find it and its scores."""

from benchmarks.seeding import brass, levels, pitches, signs, whole
from benchmarks.seeding.kind import Find, Kind

ORCHESTRA = (
    "orchestra/Beach_Op.32_2.mxl",
    "orchestra/Beethoven_Op.21_2.mxl",
    "orchestra/Brahms_Op.68_3.mxl",
    "orchestra/Brahms_Op.90_2.mxl",
    "orchestra/Brahms_Op.90_3.mxl",
    "orchestra/Bruckner_WAB.105_3b_Trio.mxl",
)
LARGE = (
    "orchestra/Beach_Op.32_3.mxl",
    "orchestra/Boulanger_Dun_matin_de_printemps.mxl",
    "orchestra/Bruckner_WAB.105_2.mxl",
)
LOUD = (
    "orchestra/Beethoven_Op.21_1.mxl",
    "orchestra/Beethoven_Op.55_2.mxl",
    "orchestra/Beethoven_Op.67_2.mxl",
)
SHARED = ("shared-staves/Karlowicz_Op.10_2.musicxml", "shared-staves/Moniuszko_Polonez.musicxml")
HARPS = (LARGE[1], SHARED[1])

OUTSIDE = "pitch-outside-instrument"
RESIDUE = "residue-from-other-family"
DIVISION = "division-not-marked"


def _kind(name: str, slug: str, find: Find, scores: tuple[str, ...] = ORCHESTRA) -> Kind:
    return Kind(name, tuple(slug.split()), scores, find)


KINDS = (
    _kind("note below the compass", OUTSIDE, pitches.below_compass),
    _kind("note above the compass", OUTSIDE, pitches.above_compass),
    _kind("part transposed two octaves too low", OUTSIDE, whole.octave_in_transposition),
    _kind(
        "transposition left out",
        "transposition-doubt",
        whole.transposition_left_out,
        ORCHESTRA + LARGE,
    ),
    _kind("three notes for one wind player", "more-notes-than-players", pitches.too_many_notes),
    _kind(
        "stop with both notes on one string",
        "stop-needs-same-string",
        pitches.both_below_second_string,
    ),
    _kind(
        "trombone slide between partials",
        "slide-glissando-impossible",
        pitches.slide_over_partials,
        ORCHESTRA + LARGE,
    ),
    _kind("harmonic touched where no node is", "harmonic-not-producible", pitches.touched_nowhere),
    _kind("harp: three neighbours at once", "harp-set-impossible", pitches.harp_cluster, HARPS),
    _kind("arco in a wind part", RESIDUE, signs.bowed_word_for_winds),
    _kind(
        "hairpin turned round",
        "swell-contradicts-goal",
        levels.swell_turned,
        ORCHESTRA + LARGE + LOUD,
    ),
    _kind(
        "hairpin to the level it began from",
        "swell-contradicts-goal",
        levels.swell_levelled,
        ORCHESTRA + LARGE + LOUD,
    ),
    _kind("harp: letter in two forms", "harp-letter-conflict", pitches.harp_letters, HARPS),
    _kind("harp: ten notes on a stave", "harp-hand-overload", pitches.harp_ten_notes, HARPS),
    _kind("stop beyond the hand", "stop-beyond-hand", pitches.beyond_the_hand),
    _kind("triple stop held", "sustained-triple-stop", pitches.triple_held),
    _kind(
        "goal of a hairpin taken away",
        "swell-without-start-or-goal",
        levels.swell_without_goal,
        ORCHESTRA + LARGE + LOUD,
    ),
    _kind("level taken away at an entry", "entry-level-missing", levels.entry_without_level),
    _kind(
        "inner wind two levels louder than its choir",
        "uneven-level-in-choir",
        levels.raised_in_choir,
        ORCHESTRA + LARGE,
    ),
    _kind(
        "second player on an inner chord tone",
        "one-chord-tone-thick",
        levels.inner_doubled,
        ORCHESTRA + LARGE + LOUD,
    ),
    _kind(
        "brass chords in the octave of the tune, marked alike",
        "brass-at-par-overpowers",
        brass.brass_at_par,
        ORCHESTRA + LARGE + LOUD,
    ),
    _kind(
        "woodwind solo at pp under a tutti at ff",
        "tune-covered",
        levels.solo_buried,
        ORCHESTRA + LARGE,
    ),
    _kind(
        "plucked line at pp under a tutti at ff",
        "plucked-line-covered",
        levels.plucked_buried,
        ORCHESTRA + LARGE,
    ),
    _kind(
        "pp at the shrill end",
        "soft-where-only-loud-speaks",
        levels.soft_at_the_end,
        ORCHESTRA + LARGE,
    ),
    _kind(
        "ff at the faint end",
        "loud-where-only-soft-speaks",
        levels.loud_in_the_faint,
        ORCHESTRA + LARGE,
    ),
    _kind("string mutes without time", "string-mute-time", signs.string_mute_at_once),
    _kind("brass mute without time", "brass-mute-time", signs.brass_mute_at_once),
    _kind("pizz. without time", "pluck-bow-change-time", signs.pluck_at_once),
    _kind("slur longer than a bow", "slur-longer-than-bow", signs.slur_beyond_bow),
    _kind(
        "slur longer than a breath",
        "breath-unit-too-long",
        signs.slur_beyond_breath,
        ORCHESTRA + LARGE,
    ),
    _kind(
        "pause taken from a third of the parts",
        "pause-not-shared",
        signs.pause_taken,
        (*ORCHESTRA, "orchestra/Beethoven_Op.67_1.mxl", "orchestra/Haydn_104_1.mxl"),
    ),
    _kind("rest taken away", "bar-duration-wrong", whole.rest_taken),
    _kind("tempo taken away", "tempo-absent-or-misplaced", whole.tempo_taken, ORCHESTRA + LARGE),
    _kind(
        "two players named, one line, no label",
        "shared-stave-player-unclear",
        whole.second_player_without_label,
    ),
    _kind("double notes without a word", DIVISION, pitches.unmarked_division),
    _kind("division words taken away", DIVISION, whole.division_words_taken, ORCHESTRA + LARGE),
    _kind("a 2 in a string part", RESIDUE, signs.a_2_for_strings),
    _kind("slur over equal wind notes", "slur-over-equal-notes", signs.wind_slur_over_equals),
    _kind("slur over equal string notes", "equal-pitch-slur", signs.string_slur_over_equals),
    _kind("slur within a slur", "nested-arcs", signs.nested_slur),
    _kind("slurs taken from one of two unisons", "inconsistent-bow-arc", signs.doubled_slurs_taken),
    _kind("arco taken away", "mode-never-cancelled", signs.bow_word_taken, ORCHESTRA + LARGE),
    _kind(
        "every plucked note rings on", "plucked-length-unclear", signs.let_ring, ORCHESTRA + LARGE
    ),
    _kind("double bass below E", "low-string-extension-needed", pitches.bass_below_e),
    _kind("ledger lines for bars", "clef-and-ledger-strain", pitches.cello_on_ledger_lines),
    _kind("letters taken away", "rehearsal-marks-sparse", whole.letters_taken, ORCHESTRA + LARGE),
    _kind("two winds of one name", "naming-inconsistent", whole.names_alike),
    _kind("key of a wind not named", "naming-inconsistent", whole.key_unnamed),
    _kind("strings on top", "score-order-and-brackets", whole.strings_on_top),
    _kind("arranger named", "identity-leak", whole.arranger_named),
)
