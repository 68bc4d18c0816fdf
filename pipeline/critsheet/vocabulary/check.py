"""Checks what only running the rules can show: examples that fail and rules that contradict each other."""

from collections.abc import Iterator
from dataclasses import dataclass

from critsheet.vocabulary import reader
from critsheet.vocabulary.clashes import CLASH_HINT, clash, covered
from critsheet.vocabulary.model import Example, Vocabulary


@dataclass(frozen=True)
class Problem:
    """A mistake in a vocabulary: where it is, what is wrong, and a way out."""

    file: str
    line: int
    what: str
    hint: str


def problems(vocabulary: Vocabulary) -> list[Problem]:
    """Everything wrong with a vocabulary that loads, in order of file and line."""
    found = [*_failed_examples(vocabulary), *_clashes(vocabulary)]
    return sorted(found, key=lambda problem: (problem.file, problem.line, problem.what))


def holds(example: Example, vocabulary: Vocabulary) -> bool:
    """Whether what an example is of is found in its sentence, or stays away, as it says."""
    return bool(_findings(example, vocabulary)) is example.expected


def _findings(example: Example, vocabulary: Vocabulary) -> list[str]:
    speech = reader.marked(example.text.split(), vocabulary)
    if example.group:
        return [m.phrase.text for m in reader.synonyms(speech, vocabulary) if m.phrase.function == example.group]
    return [m.phrase.text for m in reader.rules(speech, vocabulary) if m.phrase.category == example.category]


def _failed_examples(vocabulary: Vocabulary) -> Iterator[Problem]:
    for example in vocabulary.examples:
        if holds(example, vocabulary):
            continue
        if example.expected:
            what = f"no phrase of {example.group or example.category} matches the example {example.text!r}."
            hint = "Add a phrase that does, or move the example to no_match."
        else:
            what = f"{_findings(example, vocabulary)[0]!r} matches the example {example.text!r}, which it must not."
            hint = "Narrow the phrase, give it a deciding word with 'near', or move the example to match."
        yield Problem(example.file, example.line, what, hint)


def _clashes(vocabulary: Vocabulary) -> Iterator[Problem]:
    body = tuple(phrase for part in vocabulary.body.values() for phrase in part)
    subjects = tuple(phrase for kind in vocabulary.subjects.values() for phrase in kind)
    synonyms = tuple(phrase for group in vocabulary.synonyms for phrase in group.phrases)
    for phrases in (vocabulary.phrases, body, subjects, synonyms):
        for phrase, other in covered(phrases):
            yield Problem(phrase.file, phrase.line, clash(phrase, other), CLASH_HINT)
