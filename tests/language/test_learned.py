"""The small linear models, against sums done by hand and by brute force."""

from itertools import product

import numpy as np
from hypothesis import given
from hypothesis import strategies as st
from scipy.special import softmax

from critsheet.language.learned import Chain, Choice

LABELS = ("a", "b", "c")
NUMBERS = st.floats(-3, 3, allow_nan=False, width=32)


def test_a_choice_is_a_softmax_of_weighted_evidence() -> None:
    model = Choice(("keep", "fix"), {"praise": np.array([2.0, 0.0]), "fault": np.array([0.0, 1.0])}, {})
    chances = model.probabilities({"praise": 1.0, "fault": 2.0, "never seen": 5.0})
    assert np.allclose(list(chances.values()), softmax([2.0, 2.0]))
    assert model.evidence({"praise": 1.0, "fault": 2.0}, "keep") == ["praise"]


def test_words_count_by_rarity_and_together_have_unit_length() -> None:
    model = Choice(("x", "y"), {"word hip": np.array([1.0, 0.0])}, {"word hip": 3.0, "word the": 4.0})
    chances = model.probabilities({"word hip": 1.0, "word the": 1.0})
    assert np.allclose(list(chances.values()), softmax([3.0 / 5.0, 0.0]))


@given(
    st.lists(st.tuples(NUMBERS, NUMBERS, NUMBERS), min_size=1, max_size=4), st.lists(NUMBERS, min_size=9, max_size=9)
)
def test_a_chain_agrees_with_trying_every_path(states: list[tuple[float, ...]], links: list[float]) -> None:
    transitions = np.array(links).reshape(3, 3)
    weights = {f"at {place}": np.array(row) for place, row in enumerate(states)}
    chain = Chain(LABELS, weights, transitions)
    sequence = [{f"at {place}": 1.0} for place in range(len(states))]
    paths = list(product(range(3), repeat=len(states)))
    scores = np.array(
        [
            sum(states[place][label] for place, label in enumerate(path))
            + sum(transitions[one, two] for one, two in zip(path, path[1:], strict=False))
            for path in paths
        ]
    )
    chances = softmax(scores)
    for place in range(len(states)):
        expected = [chances[[path[place] == label for path in paths]].sum() for label in range(3)]
        assert np.allclose(chain.marginals(sequence)[place], expected)
    best = [LABELS.index(label) for label in chain.decode(sequence)]
    assert np.isclose(scores[paths.index(tuple(best))], scores.max())


def test_an_empty_sequence_has_no_labels() -> None:
    chain = Chain(LABELS, {}, np.zeros((3, 3)))
    assert chain.decode([]) == []
    assert chain.marginals([]).shape == (0, 3)
