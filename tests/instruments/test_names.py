"""Names of parts: instrument, numbers, key, doublings, and what stays unknown."""

from pathlib import Path

import pytest

from redstave.instruments import load, resolve_name
from redstave.instruments.lexicon import LANGUAGES, family_of, lexicon
from redstave.instruments.names import Naming, pitch_class
from redstave.reading import read
from tests.instruments.part_names import PRINTED, USUAL


def _who(naming: Naming) -> str:
    return "/".join(naming.instruments) + "".join(f"+{one}" for one in naming.companions)


@pytest.mark.parametrize(("name", "short", "shift", "who", "numbers", "key", "manner"), PRINTED)
def test_printed_names(
    name: str,
    short: str,
    shift: int | None,
    who: str,
    numbers: tuple[int, ...],
    key: str,
    manner: str,
) -> None:
    """Every name of the real scores is read as a musician reads it."""
    naming = resolve_name(name, short, transposition=shift)
    division = f"div {naming.divided}" if naming.divided else ""
    assert (_who(naming), naming.numbers, naming.key) == (who, numbers, key)
    assert (naming.role or division) == manner


@pytest.mark.corpus
@pytest.mark.parametrize("folder", ["orchestra", "shared-staves", "pairs"])
def test_every_name_of_the_scores_is_in_the_table(scores: Path, folder: str) -> None:
    """No real name has slipped past the eye."""
    checked = {(name, short) for name, short, *_ in PRINTED}
    for file in sorted((scores / folder).iterdir()):
        names = {(part.name, part.abbreviation) for part in read(file).parts}
        assert names <= checked, file.name


@pytest.mark.parametrize(("name", "who", "numbers", "key"), USUAL)
def test_usual_names(name: str, who: str, numbers: tuple[int, ...], key: str) -> None:
    """Common names in English, Italian, German and French are understood."""
    naming = resolve_name(name)
    assert (_who(naming), naming.numbers, naming.key) == (who, numbers, key)


@pytest.mark.parametrize("name", ["Kazoo", "Theremin", "", "Instrument 1", "Strings", "in F."])
def test_unknown_stays_unknown(name: str) -> None:
    """A name that names no instrument gives none, with no confidence; “in F.” keeps its key."""
    naming = resolve_name(name)
    assert (naming.instrument, naming.confidence) == ("", 0.0)
    assert naming.key == ("F" if name == "in F." else "")


def test_words_not_understood_are_reported() -> None:
    """“Trombone e Ophictus” is a trombone, and “Ophictus” is left over."""
    naming = resolve_name("Trombone e Ophictus")
    assert (naming.instrument, naming.leftover) == ("trombone", ("Ophictus",))
    assert "Ophictus" in naming.evidence
    assert naming.confidence < resolve_name("Trombone").confidence


def test_sound_ids_and_programs_fill_gaps_in_their_order() -> None:
    """Without a name the sound id speaks, without that the MIDI program (MusicXML 4.0, GM 1)."""
    both = resolve_name("in F.", sounds=["brass.french-horn"], programs=[57])
    assert (both.instrument, both.key) == ("horn", "F")
    assert resolve_name("Solo", programs=[57]).instrument == "trumpet"
    assert resolve_name("Staff", programs=[1]).instrument == ""
    assert both.confidence > resolve_name("Staff", programs=[57]).confidence


def test_the_name_goes_before_the_sound_id() -> None:
    """A viola that plays back as a flute is a viola, with doubt."""
    naming = resolve_name("Viola", sounds=["wind.flutes.flute"])
    assert (naming.instrument, naming.confidence) == ("viola", 0.5)
    assert "flute" in naming.evidence


def test_a_coarse_sound_id_is_no_contradiction() -> None:
    """A piccolo with the sound of a flute, and a longer id under a known one, are both right."""
    assert resolve_name("Piccolo", sounds=["wind.flutes.flute"]).confidence > 0.9
    assert resolve_name("", sounds=["brass.trumpet.slide"]).instrument == "trumpet"


def test_an_ambiguous_word_is_settled_by_the_sound() -> None:
    """“Basso” with the sound of a voice is a voice; alone it keeps its candidates."""
    assert resolve_name("Basso", sounds=["voice.bass"]).instrument == "voice"
    assert resolve_name("Basso").candidates == ("double-bass", "voice")
    assert resolve_name("Basso", "Cb.").candidates == ()


@pytest.mark.parametrize(("shift", "key"), [(-2, "Bb"), (-14, "Bb"), (-1, "B"), (-13, "B")])
def test_the_transposition_tells_b_flat_from_b(shift: int, key: str) -> None:
    """“in B” is B flat unless the part sounds a semitone (and octaves) lower."""
    assert resolve_name("Horn in B", transposition=shift).key == key


def test_a_key_that_contradicts_the_file_is_said() -> None:
    """“Horn in F” that the file transposes as a horn in E flat is noted."""
    assert "transposes by -9" in resolve_name("Horn in F", transposition=-9).evidence
    assert "transposes" not in resolve_name("Horn in F", transposition=-7).evidence


@pytest.mark.parametrize(
    ("key", "number"),
    [("C", 0), ("Db", 1), ("D", 2), ("Eb", 3), ("F#", 6), ("Ab", 8), ("Bb", 10), ("B", 11)],
)
def test_pitch_classes_of_keys(key: str, number: int) -> None:
    """Keys have their pitch classes."""
    assert pitch_class(key) == number


def test_a_plural_without_number_is_a_pair_and_not_counted() -> None:
    """“Oboi” are taken to be two, and it is kept that nobody said so."""
    naming = resolve_name("Oboi")
    assert (naming.players, naming.counted) == (2, False)
    assert resolve_name("2 Oboi").counted


def test_families_agree_with_the_book() -> None:
    """The families used for names are those of the instrument data."""
    book = load()
    for instrument in lexicon().families:
        if instrument in book:
            assert family_of(instrument) == book[instrument].family, instrument


def test_every_instrument_of_the_book_has_a_name() -> None:
    """An instrument with data can be named in words."""
    named = {one for entry in lexicon().names.values() for one in entry.instruments}
    assert set(load()) <= named
    assert named <= set(lexicon().families)


def test_every_evidence_names_a_known_instrument() -> None:
    """Sound ids and programs lead to instruments that have a family."""
    words = lexicon()
    for instrument in (*words.sounds.values(), *words.programs.values()):
        assert instrument in words.families


def test_every_vocabulary_is_used() -> None:
    """Each language contributes words of its own."""
    for language, word in zip(LANGUAGES, ("trumpet", "corno", "geige", "hautbois"), strict=True):
        assert (word,) in lexicon().names, language
