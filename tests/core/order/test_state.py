"""What can come off a pump lying on the bench: holds, carries, lots, and who bars whom."""

from __future__ import annotations

import math
from dataclasses import replace
from typing import TYPE_CHECKING

import pytest

from models.spec.assembly import Carry, Caution, Hold
from models.spec.joint import JointKind
from trainer.core.order.directions import SIX, Direction
from trainer.core.order.state import LEAVES_LOOSE, Held, Refused, State, TakenOff

if TYPE_CHECKING:
    from tests.core.order.conftest import Shop

DRIVE, SUCTION, UP = Direction.DRIVE, Direction.SUCTION, Direction.UP


def seal(carrier: str, ring: str, mate: str) -> tuple[Hold, Carry]:
    """Clamp a ring that lives on its carrier, as a sealed joint does."""
    return (
        Hold("seal", JointKind.SEALED, frozenset({carrier, ring}), frozenset({carrier, mate})),
        Carry("seal", JointKind.SEALED, carrier, ring),
    )


def expect_refused(found: TakenOff | Refused) -> Refused:
    assert isinstance(found, Refused)
    return found


def expect_off(found: TakenOff | Refused) -> TakenOff:
    assert isinstance(found, TakenOff), found
    return found


def test_free_piece_comes_off_alone(shop: Shop) -> None:
    state = State(shop.name("ab"), shop.bar("ab", {}))
    found = expect_off(state.take("a"))
    assert found.along == {"a"}
    assert not found.as_unit
    assert state.off == ["a"]
    assert state.lot_of("a") == {"a"}
    assert state.lot_of("b") == {"b"}


def test_piece_leaves_by_its_one_open_way(shop: Shop) -> None:
    for way in SIX:
        travels = shop.shut()
        del travels[way]
        state = State(shop.name("ab"), shop.bar("ab", {("a", "b"): travels}))
        assert expect_off(state.look("a")).direction is way


def test_barred_piece_names_who_is_in_the_way_nearest_first_with_the_travel(shop: Shop) -> None:
    table = shop.bar("abc", {("a", "b"): shop.shut(0.8), ("a", "c"): shop.shut(0.3)})
    way = expect_refused(State(shop.name("abc"), table).look("a")).way
    assert way is not None
    assert way.blocked_by == ("c", "b")
    assert way.travel_mm == pytest.approx(0.3)


def test_far_wall_beyond_the_first_contact_is_not_named(shop: Shop) -> None:
    """The piece is 1 mm long: what it would meet 40 mm further on does not bar it yet."""
    table = shop.bar("abc", {("a", "b"): shop.shut(0.0), ("a", "c"): shop.shut(40.0)})
    way = expect_refused(State(shop.name("abc"), table).look("a")).way
    assert way is not None
    assert way.blocked_by == ("b",)


def test_refusal_speaks_of_the_way_with_fewest_kinds_of_part_in_it(shop: Shop) -> None:
    travels = shop.shut(0.1)
    others = {way: 0.1 for way in SIX if way is not UP}
    table = shop.bar("abc", {("a", "b"): travels, ("a", "c"): others})
    way = expect_refused(State(shop.name("abc"), table).look("a")).way
    assert way is not None
    assert way.direction is UP
    assert way.blocked_by == ("b",)


def test_way_opens_when_the_blocker_is_off(shop: Shop) -> None:
    state = State(shop.name("ab"), shop.bar("ab", {("a", "b"): shop.shut()}))
    expect_refused(state.take("a"))
    assert state.off == []
    expect_off(state.take("b"))
    expect_off(state.take("a"))
    assert state.off == ["b", "a"]


def test_bolted_joint_holds_until_its_last_bolt_is_off(shop: Shop) -> None:
    names = ["cover", "casing", "bolt-1", "bolt-2"]
    holds = shop.bolt(["cover", "casing"], ["bolt-1", "bolt-2"])
    state = State(shop.name(names, holds), shop.bar(names, {("cover", "casing"): shop.shut()}))
    both = expect_refused(state.look("cover"))
    assert both.held == (Held("made-up-joint", ("bolt-1", "bolt-2")),)
    expect_off(state.take("bolt-1"))
    assert expect_refused(state.look("cover")).held == (Held("made-up-joint", ("bolt-2",)),)
    expect_off(state.take("bolt-2"))
    last = expect_refused(state.look("cover"))
    assert last.held == ()
    assert last.way is not None
    assert last.way.blocked_by == ("casing",)


def test_held_piece_with_no_way_barred_is_refused_by_the_joint_alone(shop: Shop) -> None:
    names = ["nut", "lid", "pot"]
    state = State(shop.name(names, shop.bolt(["lid", "pot"], ["nut"])), shop.bar(names, {}))
    found = expect_refused(state.look("lid"))
    assert found.way is None
    assert found.held[0].by == ("nut",)


def test_carrier_takes_along_what_rides_on_it_and_what_rides_on_that(shop: Shop) -> None:
    names = ["cover", "ring", "pin", "casing"]
    carries = [shop.ride("cover", "ring"), shop.ride("ring", "pin")]
    state = State(shop.name(names, carries=carries), shop.bar(names, {}))
    assert expect_off(state.take("cover")).along == {"cover", "ring", "pin"}
    assert state.lot_of("ring") == {"cover", "ring", "pin"}
    assert state.lot_of("casing") == {"casing"}


def test_what_was_taken_off_by_itself_rides_no_more(shop: Shop) -> None:
    names = ["cover", "ring", "casing"]
    state = State(shop.name(names, carries=[shop.ride("cover", "ring")]), shop.bar(names, {}))
    expect_off(state.take("ring"))
    assert expect_off(state.take("cover")).along == {"cover"}


def test_what_rides_along_is_barred_with_its_carrier(shop: Shop) -> None:
    names = ["cover", "ring", "impeller"]
    table = shop.bar(names, {("ring", "impeller"): shop.shut(2.0)})
    state = State(shop.name(names, carries=[shop.ride("cover", "ring")]), table)
    way = expect_refused(state.look("cover")).way
    assert way is not None
    assert way.blocked_by == ("impeller",)
    assert way.travel_mm == 2.0


def test_only_pieces_of_the_same_lot_bar_each_other(shop: Shop) -> None:
    names = ["cover", "ring", "casing"]
    table = shop.bar(names, {("ring", "casing"): {**shop.shut(), SUCTION: math.inf}})
    state = State(shop.name(names, carries=[shop.ride("cover", "ring", "ring-puller")]), table)
    assert expect_off(state.take("cover")).direction is SUCTION
    pulled = expect_off(state.take("ring"))
    assert pulled.along == {"ring"}
    assert pulled.tool == "ring-puller"


def test_tool_is_named_only_for_what_leaves_its_carrier(shop: Shop) -> None:
    names = ["cover", "ring", "casing"]
    carries = [shop.ride("cover", "ring", "ring-puller")]
    state = State(shop.name(names, carries=carries), shop.bar(names, {}))
    assert expect_off(state.look("cover")).tool == ""
    assert expect_off(state.look("ring")).tool == "ring-puller"


def test_o_ring_is_trapped_until_its_joint_is_parted_then_springs_out_of_its_groove(
    shop: Shop,
) -> None:
    names = ["cover", "o-ring", "casing"]
    hold, carry = seal("cover", "o-ring", "casing")
    table = shop.bar(names, {("o-ring", "cover"): shop.shut()})
    state = State(shop.name(names, [hold], [carry], flexible=["o-ring"]), table)
    trapped = expect_refused(state.look("o-ring"))
    assert trapped.held == (Held("seal", ("cover", "casing")),)
    expect_off(state.take("cover"))
    assert expect_off(state.take("o-ring")).along == {"o-ring"}


def test_stiff_ring_in_a_groove_never_springs_out(shop: Shop) -> None:
    names = ["cover", "o-ring", "casing"]
    hold, carry = seal("cover", "o-ring", "casing")
    table = shop.bar(names, {("o-ring", "cover"): shop.shut()})
    state = State(shop.name(names, [hold], [carry]), table)
    expect_off(state.take("cover"))
    way = expect_refused(state.look("o-ring")).way
    assert way is not None
    assert way.blocked_by == ("cover",)


def test_flexible_ring_still_minds_what_does_not_carry_it(shop: Shop) -> None:
    names = ["o-ring", "cover", "guard"]
    _, carry = seal("cover", "o-ring", "guard")
    table = shop.bar(names, {("o-ring", "guard"): shop.shut(), ("o-ring", "cover"): shop.shut()})
    state = State(shop.name(names, carries=[carry], flexible=["o-ring"]), table)
    way = expect_refused(state.look("o-ring")).way
    assert way is not None
    assert way.blocked_by == ("guard",)


def make_cartridge(shop: Shop) -> State:
    """A housing bolted to its cap with a shaft captive between them, and an impeller screwed on the shaft."""
    names = ["casing", "housing", "cap", "cap-screw", "shaft", "impeller", "impeller-screw"]
    bars = {
        ("housing", "casing"): {**shop.shut(), DRIVE: math.inf},
        ("shaft", "housing"): {**shop.shut(), DRIVE: math.inf},
        ("shaft", "cap"): {DRIVE: 0.1},
        ("housing", "shaft"): {DRIVE: 0.1},
        ("impeller", "shaft"): {**shop.shut(), SUCTION: math.inf},
        ("impeller", "casing"): {**shop.shut(9.0), DRIVE: math.inf},
        ("shaft", "impeller"): {SUCTION: 0.0},
    }
    holds = shop.bolt(["housing", "cap"], ["cap-screw"])
    holds += shop.bolt(["shaft", "impeller"], ["impeller-screw"])
    bulk = {"casing": 60.0, "housing": 30.0}
    return State(shop.name(names, holds), shop.bar(names, bars, bulk=bulk))


def test_back_pull_out_takes_along_what_is_captive_in_the_unit(shop: Shop) -> None:
    """No bolt joins shaft and housing, yet they leave together with what is screwed to the shaft."""
    found = expect_off(make_cartridge(shop).look("housing"))
    assert found.as_unit
    assert found.direction is DRIVE
    assert found.along == {"housing", "cap", "cap-screw", "shaft", "impeller", "impeller-screw"}
    assert found.cautions == ()


def test_unit_that_leaves_something_hanging_loose_is_possible_and_wrong_practice(
    shop: Shop,
) -> None:
    state = make_cartridge(shop)
    expect_off(state.take("impeller-screw"))
    found = expect_off(state.look("housing"))
    assert found.along == {"housing", "cap", "cap-screw", "shaft"}
    assert found.cautions == (LEAVES_LOOSE,)


@pytest.fixture
def unit(shop: Shop) -> State:
    """A volute with its cover bolted on, standing against a frame that stays behind."""
    names = ["volute", "cover", "nut", "frame"]
    bars = {("volute", "frame"): {**shop.shut(), SUCTION: math.inf}}
    table = shop.bar(names, bars, bulk={"volute": 50, "cover": 20, "frame": 60})
    return State(shop.name(names, shop.bolt(["volute", "cover"], ["nut"])), table)


def test_main_body_leaves_with_what_is_bolted_to_it(unit: State) -> None:
    found = expect_off(unit.take("volute"))
    assert found.as_unit
    assert found.direction is SUCTION
    assert found.along == {"volute", "cover", "nut"}
    assert unit.lot_of("cover") == {"volute", "cover", "nut"}


def test_lesser_body_does_not_lead_the_unit(unit: State) -> None:
    assert expect_refused(unit.look("cover")).held[0].by == ("nut",)


def test_whole_lot_never_leaves_as_a_unit(unit: State) -> None:
    expect_off(unit.take("volute"))
    assert expect_refused(unit.look("volute")).held[0].by == ("nut",)


def test_screw_drawn_clear_of_its_hole_goes_aside_before_the_wall(shop: Shop) -> None:
    names = ["screw", "block", "wall", "shelf"]
    bars = {("screw", "block"): {**shop.shut(), DRIVE: math.inf}, ("screw", "wall"): {DRIVE: 50.0}}
    aside = ("screw", DRIVE, 31.0, UP, ["shelf"])
    shelved = State(shop.name(names), shop.bar(names, bars, asides=[aside]))
    way = expect_refused(shelved.look("screw")).way
    assert way is not None
    assert (way.blocked_by, way.travel_mm) == (("wall",), 50.0)
    shelved.remove(["shelf"])
    found = expect_off(shelved.look("screw"))
    assert (found.direction, found.aside) == (DRIVE, UP)


def test_draw_that_is_longer_than_the_way_to_the_wall_is_no_way_out(shop: Shop) -> None:
    names = ["screw", "block", "wall"]
    bars = {("screw", "block"): {**shop.shut(), DRIVE: math.inf}, ("screw", "wall"): {DRIVE: 50.0}}
    state = State(shop.name(names), shop.bar(names, bars, asides=[("screw", DRIVE, 61.0, UP, [])]))
    expect_refused(state.look("screw"))
    state.remove(["wall"])
    assert expect_off(state.look("screw")).aside is None


def test_straight_way_is_taken_before_one_of_two_moves(shop: Shop) -> None:
    aside = ("a", SUCTION, 5.0, UP, list[str]())
    bars = {("a", "b"): {SUCTION: 9.0}}
    found = expect_off(State(shop.name("ab"), shop.bar("ab", bars, asides=[aside])).look("a"))
    assert (found.direction, found.aside) == (DRIVE, None)


def test_refusal_says_what_would_have_freed_it(shop: Shop) -> None:
    """The fewest that hold or bar: one lid above it, not the two walls beside it."""
    names = ["part", "lid", "wall-1", "wall-2", "nut"]
    bars = {
        ("part", "lid"): {UP: 3.0},
        ("part", "wall-1"): {way: 1.0 for way in SIX if way is not UP},
        ("part", "wall-2"): {way: 1.0 for way in SIX if way is not UP},
    }
    holds = [Hold("clip", JointKind.THREADED, frozenset({"part", "wall-1"}), frozenset({"nut"}))]
    state = State(shop.name(names, holds), shop.bar(names, bars))
    assert expect_refused(state.look("part")).until == ("lid", "nut")
    state.remove(["nut", "lid"])
    expect_off(state.look("part"))


def test_possible_move_that_is_wrong_practice_says_so_until_its_cause_is_gone(shop: Shop) -> None:
    caution = Caution("practice.pry", frozenset({"a"}), frozenset({"b"}))
    assembly = replace(shop.name("abc"), cautions=(caution,))
    state = State(assembly, shop.bar("abc", {}))
    assert expect_off(state.look("a")).cautions == ("practice.pry",)
    expect_off(state.take("b"))
    assert expect_off(state.look("a")).cautions == ()


def test_looking_changes_nothing_and_a_copy_goes_its_own_way(shop: Shop) -> None:
    state = State(shop.name("ab"), shop.bar("ab", {("a", "b"): shop.shut()}))
    expect_off(state.look("b"))
    assert state.off == []
    twin = state.copy()
    expect_off(twin.take("b"))
    expect_off(twin.take("a"))
    assert state.off == []
    assert state.lot_of("a") == {"a", "b"}
    expect_refused(state.look("a"))


def test_unknown_piece_is_no_silent_refusal(shop: Shop) -> None:
    state = State(shop.name("ab"), shop.bar("ab", {}))
    with pytest.raises(KeyError):
        state.look("c")
