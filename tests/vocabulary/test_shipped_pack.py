"""What the shipped pack must hold to be of use."""

import time
from collections import Counter

import pytest

from critsheet.language.terms import find
from critsheet.vocabulary import Vocabulary
from critsheet.vocabulary.check import problems
from critsheet.vocabulary.entries import BODY_PARTS, CATEGORIES
from critsheet.vocabulary.layer import CUES

ORDER_OF_WORK = [
    {"acting", "staging", "camera", "workflow"},
    {"posing", "contrast"},
    {"timing", "anticipation"},
    {"weight"},
    {"spacing", "arcs", "overlap"},
    {"contact", "limbs", "hands", "eyes", "face", "lipsync"},
    {"polish", "appeal", "secondary"},
]
"""The trade's order: what discards the work below it comes first."""


def test_all_categories_are_there_with_what_a_student_needs(pack: Vocabulary) -> None:
    assert tuple(pack.categories) == CATEGORIES
    for entry in pack.categories.values():
        assert all((entry.name, entry.meaning, entry.why, entry.remedy, entry.check))


def test_ideas_come_before_poses_and_polish_comes_last(pack: Vocabulary) -> None:
    for rank, categories in enumerate(ORDER_OF_WORK, start=1):
        assert {entry.id for entry in pack.categories.values() if entry.order == rank} == categories


@pytest.mark.parametrize("category", CATEGORIES)
def test_every_category_has_phrases_of_each_function_and_examples_both_ways(pack: Vocabulary, category: str) -> None:
    functions = Counter(phrase.function for phrase in pack.phrases if phrase.category == category)
    assert min(functions[function] for function in ("fault", "remedy", "praise", "word")) >= 3
    expected = Counter(example.expected for example in pack.examples if example.category == category)
    assert expected[True] >= 7
    assert expected[False] >= 2
    assert sum(rule.category == category for rule in pack.misheard) >= 4


def test_the_pack_has_no_problem(pack: Vocabulary) -> None:
    assert problems(pack) == []


def test_every_cue_and_every_body_part_can_be_said(pack: Vocabulary) -> None:
    assert [cue for cue in CUES if not pack.cues[cue]] == []
    assert [part for part in BODY_PARTS if not pack.body[part]] == []


def test_stages_lead_from_planning_to_final(pack: Vocabulary) -> None:
    assert [stage.id for stage in pack.stages] == ["planning", "blocking", "blocking-plus", "spline", "polish", "final"]
    for stage in pack.stages:
        assert not set(stage.settle) & set(stage.premature), stage.id


def test_the_recogniser_is_told_a_term_of_each_category_first(pack: Vocabulary) -> None:
    terms = pack.prompt_terms()
    assert len(terms) == len(set(terms)) >= 100
    assert {"overlap", "anticipation", "weight", "spacing"} <= set(terms[:42])


def test_two_thousand_words_are_read_in_a_third_of_a_second(pack: Vocabulary) -> None:
    words = "The hips arrive first but the left foot is sliding, so I would plant it until she lifts.".split()
    talk = (words * 120)[:2000]
    find(words, pack)
    start = time.process_time()
    assert find(talk, pack)
    assert time.process_time() - start < 0.3
