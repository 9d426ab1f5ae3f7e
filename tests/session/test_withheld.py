"""What is withheld: pieces change between the ways, and what was withheld before comes back."""

from __future__ import annotations

from hypothesis import given
from hypothesis import strategies as st

from trainer.session.withheld import ALL_SHOWN, Withheld

KNOWN = frozenset("abcdef")
PIECES = st.frozensets(st.sampled_from(sorted(KNOWN)), min_size=1)
DEEDS = ("put_away", "turn_to_glass", "leave_alone", "bring_back")


def test_a_piece_is_withheld_in_one_way_only() -> None:
    state = ALL_SHOWN.put_away("a").turn_to_glass("ab")
    assert state == Withheld(glass=frozenset("ab"))
    assert state.put_away("b") == Withheld(away=frozenset("b"), glass=frozenset("a"))


def test_alone_hides_all_others_but_glass_and_ends_with_what_was_withheld_before() -> None:
    state = ALL_SHOWN.put_away("a").turn_to_glass("b").leave_alone("c")
    assert state.find_hidden(KNOWN) == frozenset("adef")
    assert state.end_alone().find_hidden(KNOWN) == frozenset("a")


def test_beside_what_is_alone_another_piece_can_be_brought_back() -> None:
    state = ALL_SHOWN.leave_alone("c").bring_back("d")
    assert state.find_hidden(KNOWN) == KNOWN - frozenset("cd")


def test_pieces_that_are_gone_are_forgotten() -> None:
    state = ALL_SHOWN.put_away("ax").turn_to_glass("by").leave_alone("z")
    assert state.keep_known(KNOWN) == Withheld(frozenset("a"), frozenset("b"))


@given(st.lists(st.tuples(st.sampled_from(DEEDS), PIECES), max_size=8), PIECES)
def test_whatever_was_done_what_is_brought_back_is_shown(
    deeds: list[tuple[str, frozenset[str]]], pieces: frozenset[str]
) -> None:
    state = ALL_SHOWN
    for name, those in deeds:
        state = getattr(state, name)(those)
        assert not state.away & state.glass
    state = state.bring_back(pieces)
    assert not pieces & state.find_hidden(KNOWN)
    assert not pieces & state.glass
