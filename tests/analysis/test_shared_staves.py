"""What several players of one stave mean for hearing and for the page's solos."""

from redstave.analysis import Analysis
from redstave.reading import read_bytes

HEAD = "title: Shared\nmeter: 4/4\ntempo: 60\n\n"


def _analysis(text: str) -> Analysis:
    return Analysis(read_bytes((HEAD + text).encode(), "shared.tiny"))


def test_a_printed_note_that_two_players_have_is_one_strand() -> None:
    """Under "a 2" both are heard as one, however short the passage: neither covers the other."""
    hearing = _analysis('part Flutes 1. 2\nf "a 2" C5/2 r |\n').hearing
    assert hearing.strand.size == 2
    assert len(set(hearing.strand.tolist())) == 1


def test_two_notes_of_two_players_are_two_strands() -> None:
    """A chord on a shared stave is two players, who may cover one another."""
    hearing = _analysis("part Flutes 1. 2\nf [C5 E5]/2 r |\n").hearing
    assert len(set(hearing.strand.tolist())) == 2


def test_a_numbered_solo_leads_for_its_player_only() -> None:
    """“1. Solo” over one of two voices calls the first player leading, not the second."""
    analysis = _analysis('part Flutes 1. 2\n"1. Solo" p C5/1 & A4/1 | D5 & A4 |\n')
    assert {analysis.playing.lines[lead.line].id for lead in analysis.leads} == {"P1.1"}


def test_espressivo_leads_for_who_plays_there() -> None:
    """A word over the line of the second player does not call the silent first one leading."""
    analysis = _analysis('part Flutes 1. 2\n"2." "espr." p C5/1 | D5 | "1." E5 | F5 |\n')
    assert {analysis.playing.lines[lead.line].id for lead in analysis.leads} == {"P1.2"}
