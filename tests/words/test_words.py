"""The words speak as asked, and refuse with a hint where they cannot."""

from __future__ import annotations

import subprocess
import sys

import pytest
from hypothesis import given
from hypothesis import strategies as st

from trainer.words import Words, list_languages, load_words
from trainer.words.catalogue import list_fields
from trainer.words.speech import begin


def make_words(texts: dict[str, str], plurals: dict[str, tuple[str, ...]] | None = None) -> Words:
    return Words("en", texts, plurals or {}, lambda number: 0 if number == 1 else 1)


SHOP = make_words(
    {
        "bench.tidy": "The bench is tidy.",
        "held.by": "{part} is held by {holder}.",
        "list.last": "{before} and {after}",
    },
    {"shims.left": ("{number} shim left in {tray}", "{number} shims left in {tray}")},
)


def test_a_text_is_said_with_its_fields() -> None:
    assert (
        SHOP.say("held.by", part="impeller", holder="impeller-screw")
        == "impeller is held by impeller-screw."
    )


def test_a_number_of_things_chooses_its_form() -> None:
    assert SHOP.count("shims.left", 1, tray="the tray") == "1 shim left in the tray"
    assert SHOP.count("shims.left", 0, tray="the tray") == "0 shims left in the tray"
    assert SHOP.count("shims.left", 1200, tray="the tray") == "1,200 shims left in the tray"


def test_an_unknown_key_is_refused_with_near_matches() -> None:
    with pytest.raises(KeyError, match=r"bench\.tidi is not in the catalogue; near: bench\.tidy"):
        SHOP.say("bench.tidi")
    with pytest.raises(KeyError, match=r"near: shims\.left"):
        SHOP.count("shims.lift", 2, tray="")


def test_a_missing_field_is_named() -> None:
    with pytest.raises(KeyError, match=r"held\.by needs the field holder"):
        SHOP.say("held.by", part="impeller")


def test_say_and_count_point_at_each_other() -> None:
    with pytest.raises(KeyError, match="use count"):
        SHOP.say("shims.left", tray="the tray")
    with pytest.raises(KeyError, match="use say"):
        SHOP.count("bench.tidy", 3)


def test_has_knows_single_and_plural_keys() -> None:
    assert SHOP.has("held.by")
    assert SHOP.has("shims.left")
    assert not SHOP.has("held.from")


def test_a_float_field_is_written_as_the_language_writes_numbers() -> None:
    words = make_words({"gap.found": "gap {gap}, target {target}"})
    assert (
        words.say("gap.found", gap=0.1 + 0.2, target=words.number(0.5, digits=1))
        == "gap 0.30, target 0.5"
    )


def test_a_field_value_is_never_read_as_a_text_with_fields() -> None:
    assert (
        SHOP.say("held.by", part="{holder.__class__}", holder="x")
        == "{holder.__class__} is held by x."
    )


@pytest.mark.parametrize(
    "text", ["{a.b}", "{a[0]}", "{a!r}", "{a:>10}", "{}", "{0}", "{a", "a}", "{_a}", "{a:{b}}"]
)
def test_a_text_cannot_reach_into_its_fields(text: str) -> None:
    with pytest.raises(ValueError, match=r"."):
        list_fields(text)
    with pytest.raises(ValueError, match=r"."):
        make_words({"k": text}).say("k", a="x")


def test_numbers_keep_their_digits_and_lose_a_minus_before_nought() -> None:
    words = load_words("en")
    assert words.millimetres(0.5) == "0.50 mm"
    assert words.millimetres(-0.0004) == "0.00 mm"
    assert words.millimetres(-0.25, digits=3) == "-0.250 mm"
    assert words.number(1450, digits=0) == "1,450"


@pytest.mark.parametrize("value", [float("nan"), float("inf"), float("-inf")])
def test_what_is_not_finite_is_not_written(value: float) -> None:
    with pytest.raises(ValueError, match="cannot be written"):
        SHOP.number(value)


@given(st.floats(-1e6, 1e6), st.integers(0, 4))
def test_a_written_number_reads_back_to_within_its_last_digit(value: float, digits: int) -> None:
    assert float(SHOP.number(value, digits).replace(",", "")) == pytest.approx(
        value, abs=0.51 * 10**-digits
    )


def test_names_are_joined_into_one_phrase() -> None:
    words = load_words("en")
    assert words.join(["key"]) == "key"
    assert words.join(["key", "shim"]) == "key and shim"
    assert words.join(["key", "shim", "screw", "washer"]) == "key, shim, screw and washer"
    with pytest.raises(ValueError, match="nothing to join"):
        words.join([])


@pytest.mark.parametrize(
    ("text", "begun"),
    [
        ("end float", "End float"),
        ("O-ring", "O-ring"),
        ("M12", "M12"),
        ("échelle", "Échelle"),
        ("", ""),
    ],
)
def test_a_sentence_begins_with_a_capital_and_keeps_the_rest(text: str, begun: str) -> None:
    assert begin(text) == begun


def test_an_unknown_language_names_those_there_are() -> None:
    assert "en" in list_languages()
    for name in ("xx", "..", "../words/en", "en/"):
        with pytest.raises(KeyError, match=r"there are: .*en"):
            load_words(name)


def test_loading_words_does_not_load_babel() -> None:
    # Babel's tables cost more than the whole of the words' share of the start.
    code = "import sys; from trainer.words import load_words; load_words(); sys.exit('babel' in sys.modules)"
    assert subprocess.run([sys.executable, "-c", code], check=False).returncode == 0
