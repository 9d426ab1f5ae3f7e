"""Every fault of every family says what is wrong and what it leads to, each in a sentence of its own."""

from __future__ import annotations

import pytest

from models.builds import FAMILIES
from trainer.words import load_words

KEYS = sorted({fault.key for family in FAMILIES.values() for fault in family.faults})

RULES = sorted(
    {rule.key for rule in FAMILIES["end-suction"].rules}
    | {
        rule.key
        for family in FAMILIES.values()
        for rule in family.rules
        if rule.number in {fault.rule for fault in family.faults}
    }
)
"""Those of the end-suction pump, and those that a fault of any family breaks."""


@pytest.mark.parametrize("key", KEYS)
def test_a_fault_says_what_is_wrong_and_what_it_leads_to(key: str) -> None:
    words = load_words()
    what, leads_to = words.say(f"fault.{key}"), words.say(f"fault.{key}.leads-to")
    assert what[0].isupper()
    assert not what.endswith(".")
    assert leads_to[0].isupper()
    assert leads_to.endswith(".")
    assert len(leads_to) > len(what)


@pytest.mark.parametrize("key", RULES)
def test_a_rule_says_what_must_be_so(key: str) -> None:
    told = load_words().say(f"rule.{key}")
    assert told[0].isupper()
    assert told.endswith(".")


def test_no_two_faults_read_alike() -> None:
    words = load_words()
    told = [words.say(f"fault.{key}") for key in KEYS]
    assert len(set(told)) == len(told)


def test_no_sentence_stands_for_a_fault_that_there_is_not() -> None:
    told = {key.removeprefix("fault.").removesuffix(".leads-to") for key in load_words().texts if key.startswith("fault.") and key.endswith(".leads-to")}  # fmt: skip
    assert told == set(KEYS)
