"""Small linear models over named evidence: a choice between labels, and a chain of labels.

Every feature has a readable name and one weight a label, so that a decision can say what decided it.
The weights are trained elsewhere and kept in one data file; this module only applies them.
"""

import gzip
import json
import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import cache
from pathlib import Path
from typing import Any

import numpy as np
from numpy.typing import NDArray

from critsheet.errors import CritsheetError

WEIGHTS = Path(__file__).with_name("weights.json.gz")

Features = Mapping[str, float]
Array = NDArray[np.float64]


@dataclass(frozen=True, eq=False)
class Choice:
    """A multinomial logistic model. `weights[feature]` has one number a label.

    Features in `rarity` are words: they are weighed by how rare they are (inverse document frequency,
    Spärck Jones, Journal of Documentation 28, 1972) and brought to unit length together, so that a long
    note counts no more than a short one. All others count as they are.
    """

    labels: tuple[str, ...]
    weights: Mapping[str, Array]
    rarity: Mapping[str, float]

    def probabilities(self, features: Features) -> dict[str, float]:
        """The probability of each label, summing to 1."""
        scores = _scores(self.weights, weighed(features, self.rarity), len(self.labels))
        odds = np.exp(scores - scores.max())
        return dict(zip(self.labels, (odds / odds.sum()).tolist(), strict=True))

    def best(self, features: Features) -> tuple[str, float]:
        """The likeliest label and its probability; the first of equals."""
        chances = self.probabilities(features)
        label = max(self.labels, key=lambda name: chances[name])
        return label, chances[label]

    def evidence(self, features: Features, label: str, limit: int = 3) -> list[str]:
        """The features that speak most for a label against the mean of the others, strongest first."""
        column = self.labels.index(label)
        told = [
            (value * float(self.weights[name][column] - self.weights[name].mean()), name)
            for name, value in weighed(features, self.rarity).items()
            if name in self.weights
        ]
        return [name for score, name in sorted(told, key=lambda pair: (-pair[0], pair[1]))[:limit] if score > 0]


@dataclass(frozen=True, eq=False)
class Chain:
    """A linear-chain conditional random field (Lafferty, McCallum and Pereira, ICML 2001)."""

    labels: tuple[str, ...]
    weights: Mapping[str, Array]
    transitions: Array

    def marginals(self, sequence: Sequence[Features]) -> Array:
        """The probability of each label at each place: an array of shape (places, labels)."""
        states = self._states(sequence)
        if not len(states):
            return states
        forward, backward = states.copy(), np.zeros_like(states)
        for place in range(1, len(states)):
            forward[place] += _log_sum(forward[place - 1][:, None] + self.transitions, axis=0)
        for place in range(len(states) - 2, -1, -1):
            backward[place] = _log_sum(self.transitions + states[place + 1] + backward[place + 1], axis=1)
        joint = forward + backward
        return np.exp(joint - _log_sum(joint, axis=1)[:, None])

    def decode(self, sequence: Sequence[Features]) -> list[str]:
        """The likeliest sequence of labels (Viterbi); the first label of equals."""
        states = self._states(sequence)
        if not len(states):
            return []
        best, back = states[0], []
        for state in states[1:]:
            paths = best[:, None] + self.transitions
            back.append(paths.argmax(axis=0))
            best = paths.max(axis=0) + state
        path = [int(best.argmax())]
        for origins in reversed(back):
            path.append(int(origins[path[-1]]))
        return [self.labels[index] for index in reversed(path)]

    def _states(self, sequence: Sequence[Features]) -> Array:
        rows = [_scores(self.weights, features, len(self.labels)) for features in sequence]
        return np.array(rows).reshape(len(rows), len(self.labels))


def weighed(features: Features, rarity: Mapping[str, float]) -> dict[str, float]:
    """The features with words weighed by rarity and brought to unit length together."""
    words = {name: value * rarity[name] for name, value in features.items() if name in rarity}
    length = math.sqrt(sum(value * value for value in words.values())) or 1.0
    return {name: words[name] / length if name in words else value for name, value in features.items()}


def _scores(weights: Mapping[str, Array], features: Features, width: int) -> Array:
    total: Array = np.zeros(width)
    for name, value in features.items():
        if (row := weights.get(name)) is not None:
            total += value * row
    return total


def _log_sum(values: Array, axis: int) -> Array:
    top = values.max(axis=axis)
    result: Array = np.log(np.exp(values - np.expand_dims(top, axis)).sum(axis=axis)) + top
    return result


def choice_from(document: Mapping[str, Any]) -> Choice:
    """A Choice from its stored form: {"labels", "weights": {feature: [a number a label]}, "rarity"}."""
    weights = {name: np.array(row) for name, row in document["weights"].items()}
    return Choice(tuple(document["labels"]), weights, document["rarity"])


def chain_from(document: Mapping[str, Any]) -> Chain:
    """A Chain from its stored form: {"labels", "weights", "transitions": a row for each label to come from}."""
    weights = {name: np.array(row) for name, row in document["weights"].items()}
    return Chain(tuple(document["labels"]), weights, np.array(document["transitions"]))


@cache
def stored() -> dict[str, Any]:
    """The shipped weights: a section a model, and "trained_on", a hash of the labelled critiques.

    Raises CritsheetError where the installation is incomplete.
    """
    try:
        document: dict[str, Any] = json.loads(gzip.decompress(WEIGHTS.read_bytes()))
    except (OSError, EOFError, ValueError) as error:
        what = f"Critsheet's own file {WEIGHTS.name} is missing or damaged."
        raise CritsheetError(what, "Install Critsheet again.") from error
    return document


@cache
def choice(section: str) -> Choice:
    """The shipped model of this name that chooses between labels."""
    return choice_from(stored()[section])


@cache
def chain(section: str) -> Chain:
    """The shipped model of this name that labels a sequence."""
    return chain_from(stored()[section])


@cache
def word_rarity() -> dict[str, float]:
    """How rare each stem is among the labelled critiques: its inverse document frequency."""
    rarity: dict[str, float] = stored()["rarity"]
    return rarity


@cache
def trained_phrases() -> frozenset[str]:
    """The ids of the vocabulary's judging phrases that the weights were trained with."""
    return frozenset(stored()["phrases"])
