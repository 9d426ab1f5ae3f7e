"""The rules of practice: graded by mark and time, spaced, interleaved, with help that fades, folded from answers alone."""

from __future__ import annotations

import itertools
import random
from datetime import UTC, datetime, timedelta, timezone

import pytest
from hypothesis import given
from hypothesis import strategies as st

from trainer.lesson.kinds import QuestionKind, Skill
from trainer.lesson.outcome import FieldOutcome, Help, Outcome
from trainer.lesson.practice import (
    MOST_NEW_A_DAY,
    History,
    Subject,
    Why,
    choose_help,
    choose_next,
    find_standing,
    fold_outcomes,
    interleave,
    map_mastery,
)
from trainer.lesson.spacing import (
    AGAIN_AFTER,
    AIM,
    LONGEST_DAYS,
    Recall,
    find_chance,
    judge_recall,
    remember,
)

MORNING = datetime(2026, 12, 1, 8, tzinfo=UTC)
DAY = timedelta(days=1)
POINT, GAP = QuestionKind.POINT_OUT, QuestionKind.READ_GAP


def make_outcome(
    item: str = "point-out/impeller",
    score: float = 1.0,
    after: timedelta = timedelta(0),
    help_: Help = Help.UNAIDED,
    seconds: float | None = None,
) -> Outcome:
    field = FieldOutcome("part", "pointed", score)
    return Outcome("Ann", item, MORNING + after, score, (field,), help_, seconds)


# ------------------------------------------------------------------ how an answer was recalled
@pytest.mark.parametrize(
    ("score", "help_", "seconds", "recall"),
    [
        (0.0, Help.UNAIDED, None, Recall.LOST),
        (0.4, Help.HINTED, None, Recall.LOST),
        (0.5, Help.UNAIDED, 10.0, Recall.HALTING),
        (1.0, Help.HINTED, 1.0, Recall.HALTING),
        (1.0, Help.UNAIDED, None, Recall.SURE),
        (1.0, Help.UNAIDED, 10.0, Recall.SURE),
        (1.0, Help.UNAIDED, 20.0, Recall.SURE),
        (1.0, Help.UNAIDED, 20.1, Recall.HALTING),
        (1.0, Help.UNAIDED, 5.0, Recall.SURE),
        (1.0, Help.UNAIDED, 4.9, Recall.QUICK),
        (1.0, Help.EXAMPLE, 1.0, None),
    ],
)
def test_mark_help_and_time_give_the_grade(
    score: float, help_: Help, seconds: float | None, recall: Recall | None
) -> None:
    outcome = make_outcome(score=score, help_=help_, seconds=seconds)
    assert judge_recall(outcome, 10.0) is recall


def test_time_counts_only_beside_ones_own_usual_time() -> None:
    assert judge_recall(make_outcome(seconds=1000.0), None) is Recall.SURE
    few = [make_outcome(after=n * DAY, seconds=10.0) for n in range(4)]
    assert fold_outcomes(few).usual_s == {}
    wrong = make_outcome(score=0.0, after=4 * DAY, seconds=900.0)
    assert fold_outcomes([*few, wrong]).usual_s == {}
    hinted = make_outcome(after=4 * DAY, help_=Help.HINTED, seconds=10.0)
    assert fold_outcomes([*few, hinted]).usual_s == {}
    assert fold_outcomes([*few, make_outcome(after=5 * DAY, seconds=12.0)]).usual_s == {
        "pointed": 10.0
    }


# ------------------------------------------------------------------ spaced
def test_what_is_recalled_comes_back_later_and_later_and_what_is_lost_the_same_day() -> None:
    memory, when, gaps = remember(None, Recall.SURE, MORNING), MORNING, list[timedelta]()
    for _ in range(5):
        gaps.append(memory.due - when)
        when = memory.due
        memory = remember(memory, Recall.SURE, when)
    assert gaps == sorted(gaps)
    assert len(set(gaps)) == len(gaps)
    lost = remember(memory, Recall.LOST, when + DAY)
    assert lost.due - (when + DAY) == AGAIN_AFTER
    assert lost.stability_days < memory.stability_days


def test_a_surer_recall_comes_back_no_sooner() -> None:
    first = remember(remember(None, Recall.SURE, MORNING), Recall.SURE, MORNING + DAY)
    later = first.due
    dues = [remember(first, recall, later).due for recall in Recall]
    assert dues == sorted(dues)
    assert len(set(dues)) == len(dues)


def test_when_it_comes_back_the_chance_of_recall_has_fallen_to_the_aim() -> None:
    memory = remember(None, Recall.QUICK, MORNING)
    assert find_chance(memory, MORNING) == 1.0
    # Days are whole ones, so the chance is near the aim, by less than a day's worth of forgetting.
    before, after = (find_chance(memory, memory.due + n * DAY) for n in (-1, 1))
    assert before > AIM > after


@given(st.lists(st.tuples(st.sampled_from(Recall), st.floats(0.0, 400.0)), max_size=30))
def test_no_row_of_answers_breaks_the_schedule(answers: list[tuple[Recall, float]]) -> None:
    memory, when = remember(None, Recall.SURE, MORNING), MORNING
    for recall, days in answers:
        when += timedelta(days=days)
        memory = remember(memory, recall, when)
        assert when < memory.due <= when + timedelta(days=LONGEST_DAYS)
        assert 0.0 <= find_chance(memory, when + timedelta(days=days)) <= 1.0


def test_a_clock_that_was_set_back_does_no_harm() -> None:
    memory = remember(None, Recall.SURE, MORNING)
    assert remember(memory, Recall.SURE, MORNING - 30 * DAY).last == MORNING


def test_state_follows_from_the_answers_in_whatever_order_they_are_read() -> None:
    answers = [
        make_outcome(item, score, n * DAY, seconds=9.0 + n)
        for n, (item, score) in enumerate(
            [("point-out/a", 1.0), ("read-gap/b", 0.0), ("point-out/a", 0.0), ("read-gap/b", 1.0)] * 4
        )
    ]  # fmt: skip
    shuffled = list(answers)
    random.Random(3).shuffle(shuffled)
    assert fold_outcomes(shuffled) == fold_outcomes(answers)


# ------------------------------------------------------------------ help fades
def test_facts_are_asked_unaided_from_the_first() -> None:
    assert choose_help(POINT, []) is Help.UNAIDED


def test_what_is_worked_out_begins_with_an_example_then_hints_then_nothing() -> None:
    answers: list[Outcome] = []
    helps = []
    for score in (1.0, 0.5, 1.0, 1.0, 0.0, 0.0, 1.0):
        helps.append(choose_help(GAP, answers))
        answers.append(make_outcome("read-gap/x", score, len(answers) * DAY, helps[-1]))
    assert helps == [
        Help.EXAMPLE,
        Help.HINTED,  # what was right beside the example shows nothing yet
        Help.HINTED,  # half right with hints is not enough
        Help.UNAIDED,
        Help.UNAIDED,
        Help.UNAIDED,  # one lost in a row
        Help.HINTED,  # two lost in a row
    ]
    assert choose_help(GAP, answers) is Help.UNAIDED


# ------------------------------------------------------------------ due, weak, new, next
def make_pool(*names: str) -> list[Subject]:
    """Make subjects of KIND/SUBJECT/TOPIC."""
    return [Subject(QuestionKind(k), s, t) for k, s, t in (name.split("/") for name in names)]


def test_what_was_lost_is_due_ten_minutes_later_and_is_weak_till_recalled() -> None:
    pool = make_pool("point-out/impeller/wheel", "point-out/volute/casing")
    history = fold_outcomes([make_outcome(score=0.0), make_outcome("point-out/volute")])
    at_once = find_standing(pool, history, MORNING + timedelta(minutes=1))
    assert at_once.due == ()
    assert [one.subject for one in at_once.later] == ["impeller"]
    assert [one.subject for one in at_once.weak] == ["impeller"]
    soon = find_standing(pool, history, MORNING + AGAIN_AFTER)
    assert [one.subject for one in soon.due] == ["impeller"]


def test_a_day_ends_at_the_learners_own_midnight() -> None:
    pool = make_pool("point-out/impeller/wheel")
    history = fold_outcomes([make_outcome()])
    east = timezone(timedelta(hours=10))
    late = (MORNING + timedelta(hours=5, minutes=55)).astimezone(east)  # five to midnight there
    assert find_standing(pool, history, late).new_today == 1
    assert find_standing(pool, history, late + timedelta(hours=3)).new_today == 0
    evening = fold_outcomes([make_outcome(after=timedelta(hours=8))])  # two in the morning there
    assert find_standing(pool, evening, late + timedelta(hours=12)).new_today == 1
    assert find_standing(pool, evening, late).new_today == 0


def test_of_what_is_due_and_weak_the_most_forgotten_comes_first() -> None:
    pool = make_pool("point-out/old/x", "point-out/lost/y", "point-out/older/z")
    answers = [
        make_outcome("point-out/older", after=-20 * DAY),
        make_outcome("point-out/old", after=-9 * DAY),
        make_outcome("point-out/lost", score=0.0, after=-1 * DAY),
    ]
    standing = find_standing(pool, fold_outcomes(answers), MORNING)
    assert [one.subject for one in standing.due] == ["lost", "older", "old"]
    assert [one.subject for one in standing.weak] == ["lost"]


def test_what_is_due_comes_before_what_is_new() -> None:
    pool = make_pool("point-out/volute/casing", "point-out/impeller/wheel")
    history = fold_outcomes([make_outcome(score=0.0)])
    chosen = choose_next(pool, history, MORNING + DAY, random.Random(1))
    assert chosen is not None
    assert (chosen.subject.subject, chosen.why) == ("impeller", Why.DUE)


def test_no_more_is_begun_in_a_day_than_can_be_kept_up_unless_it_is_asked_for() -> None:
    names = [f"point-out/p{n}/t{n}" for n in range(MOST_NEW_A_DAY + 5)]
    begun = [make_outcome(f"point-out/p{n}") for n in range(MOST_NEW_A_DAY)]
    pool, history = make_pool(*names), fold_outcomes(begun)
    now = MORNING + timedelta(minutes=1)
    assert choose_next(pool, history, now, random.Random(1)) is None
    ahead = choose_next(pool, history, now, random.Random(1), ahead=True)
    assert ahead is not None
    assert ahead.why is Why.AHEAD
    assert choose_next(pool, history, now + DAY, random.Random(1)) is not None
    unseen = pool[MOST_NEW_A_DAY:]
    assert choose_next(unseen, history, now, random.Random(1)) is None
    beyond = choose_next(unseen, history, now, random.Random(1), ahead=True)
    assert beyond is not None
    assert beyond.subject in unseen


def test_neighbours_are_about_other_parts_in_other_kinds() -> None:
    ring, other_ring, gap, nut = make_pool(
        "point-out/a/ring", "name-it/b/ring", "read-gap/c/gap", "point-out/d/nut"
    )
    assert interleave([ring, other_ring, gap], []) is ring
    assert interleave([ring, other_ring, nut, gap], [ring]) is gap
    assert interleave([other_ring, nut], [ring]) is nut
    assert interleave([ring, other_ring], [ring]) is other_ring
    assert interleave([ring], [ring]) is ring
    (twin,) = make_pool("point-out/b/ring")
    assert interleave([ring, twin], [ring]) is twin


def test_a_new_learner_meets_every_skill_and_never_one_kind_twice_running() -> None:
    kinds = ("point-out", "name-it", "reach", "read-gap", "find-fault", "which-to-fit")
    pool = make_pool(*(f"{kind}/s{n}/t{n}" for kind in kinds for n in range(10)))
    asked: list[Subject] = []
    for n in range(12):
        left = [one for one in pool if one not in asked]
        chosen = choose_next(left, History(), MORNING, random.Random(n), asked=asked)
        assert chosen is not None
        asked.append(chosen.subject)
    assert {one.skill for one in asked[:5]} == set(Skill)
    assert all(a.kind != b.kind for a, b in itertools.pairwise(asked))


# ------------------------------------------------------------------ the map of mastery
def test_the_map_tells_what_was_seen_and_what_would_be_known() -> None:
    pool = make_pool(
        "point-out/a/x", "point-out/b/x", "point-out/c/x", "point-out/d/x", "reach/a/x"
    )
    history = fold_outcomes(
        [make_outcome("point-out/a"), make_outcome("point-out/b", score=0.0)]
    )  # fmt: skip
    parts, order = map_mastery(pool, history, MORNING)
    assert (parts.skill, parts.there_are, parts.seen) == (Skill.KNOW_PARTS, 4, 2)
    assert parts.recall == pytest.approx(0.5)  # one known for certain just now, one lost
    assert parts.known == pytest.approx(0.25)
    assert (order.skill, order.seen, order.recall, order.known) == (Skill.KNOW_ORDER, 0, None, 0.0)
    later = map_mastery(pool, history, MORNING + 100 * DAY)[0]
    assert later.known < parts.known
