"""Finds words that were probably misheard: by the vocabulary's rules, by the sound of trade words and of names.

An ordinary word is only offered for change where the trade is talked of right beside it, where it is no part of a
phrase of talking ("wait, let me see"), and where the change completes a trade phrase or the recogniser was unsure;
words that everybody says daily need both, unless several of them together sound like the term ("space in").
"""

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass

from critsheet.speech import sounds
from critsheet.speech.context import Context, Run
from critsheet.speech.spoken import Spoken, runs
from critsheet.vocabulary import Misheard, Vocabulary
from critsheet.vocabulary.tokens import pieces

_UNSURE = 0.4
"""Probability under which the recogniser's own choice of a word counts for little."""

_LONGEST_RUN = 3
"""A word that a recogniser does not know comes out as up to three that it knows ("sill you et")."""

_ALIKE, _VERY_ALIKE = 0.75, 0.85
"""Likeness in spelling of what sounds alike: enough for an unknown word, and where more stands against it."""

_SHORT_CODE, _SHORT_ALIKE = 2, 0.8
"""So few consonants are shared by many words; then the spelling must be more alike."""

_LEAST_LETTERS = 3
_LEAST_TERM_LETTERS = 5
"""Shorter trade words have too many neighbours in sound to be told by it."""

_ARTICLES = {"the", "a", "an"}


@dataclass(frozen=True)
class Change:
    """What a run of words should read, and by which rule. A name keeps its own capitals and a possessive ending."""

    run: Run
    rule: str
    is_name: bool = False


def misheard(spoken: Sequence[Spoken], vocabulary: Vocabulary, context: Context) -> Iterator[Change]:
    """Changes by the vocabulary's rules."""
    rules: dict[tuple[str, ...], list[Misheard]] = {}
    for rule in vocabulary.misheard:
        for form in rule.heard:
            rules.setdefault(form, []).append(rule)
    cut = [pieces(word.core + word.owner) for word in spoken]
    for start, end in runs(spoken, max(map(len, rules), default=0)):
        form = tuple(piece for word in cut[start:end] for piece in word)
        for rule in rules.get(form, ()):
            run = Run(start, end, rule.meant)
            if _is_wrong(spoken[start:end], run, rule, context):
                yield Change(run, rule.id)
                break


def _is_wrong(heard: Sequence[Spoken], run: Run, rule: Misheard, context: Context) -> bool:
    """Whether a run that a rule lists has to be a mistake: see the top of this module."""
    whole = "".join(word.core + word.owner for word in heard)
    rarest = min(word.frequency for word in heard)
    cut_up = len(heard) > 1 and sounds.letters(whole) == sounds.letters(run.meant)
    if cut_up or rarest < sounds.ORDINARY:
        return context.is_near(run)  # the term itself in pieces ("over lap"), or no English
    if context.is_talk(run):
        return False
    unsure = min(word.word.probability for word in heard) < _UNSURE
    same_sound = len(heard) > 1 and sounds.code(whole) == sounds.code(run.meant)
    if rarest >= (sounds.EVERYWHERE if same_sound else sounds.FREQUENT):
        return unsure and context.is_near(run, rule) and context.completes_phrase(run)
    if unsure:
        return context.is_near(run)
    return context.is_near(run, rule) and context.completes_phrase(run)


def sounding_terms(spoken: Sequence[Spoken], vocabulary: Vocabulary, context: Context) -> Iterator[Change]:
    """Changes of words that are not English to the trade word that sounds the same."""
    terms: dict[str, str] = {}
    for meant in (*vocabulary.prompt_terms(), *(rule.meant for rule in vocabulary.misheard)):
        if len(sounds.letters(meant)) >= _LEAST_TERM_LETTERS:
            terms.setdefault(sounds.code(meant), meant)
    known = {sounds.letters(term) for term in terms.values()}
    for start, end in runs(spoken, 1):
        text = spoken[start].core
        term = terms.get(sounds.code(text))
        if term is None or spoken[start].frequency >= sounds.ORDINARY or sounds.letters(text) in known:
            continue
        run = Run(start, end, term)
        if text.isalpha() and _sounds_like(text, term) and context.is_near(run):
            yield Change(run, f"sound:{term}")


def sounding_names(spoken: Sequence[Spoken], names: Iterable[str]) -> Iterator[Change]:
    """Changes to the user's names, by sound."""
    parts = _name_parts(names)
    known = {sounds.letters(part) for part in parts}
    for start, end in runs(spoken, _LONGEST_RUN):
        run = spoken[start:end]
        after_article = start > 0 and spoken[start - 1].core.lower() in _ARTICLES
        if after_article or any(sounds.letters(word.core) in known for word in run):
            continue
        text = "".join(word.core for word in run)
        for part in parts:
            if _sounds_like(text, part) and _may_be_name(run, text, part):
                yield Change(Run(start, end, part), f"name:{part}", is_name=True)
                break


def _name_parts(names: Iterable[str]) -> list[str]:
    """The words of the names worth listening for: no short ones, and no ordinary words, which are heard right.

    A name that takes an article ("the barrel") is such a word.
    """
    parts = [part.strip(",.;:") for name in names for part in name.split()]
    long = (part for part in parts if len(sounds.letters(part)) >= _LEAST_LETTERS)
    return list(dict.fromkeys(part for part in long if sounds.frequency(part) < sounds.ORDINARY))


def _sounds_like(text: str, term: str) -> bool:
    code = sounds.code(term)
    enough = _SHORT_ALIKE if len(code) <= _SHORT_CODE else _ALIKE
    return bool(code) and sounds.code(text) == code and sounds.likeness(text, term) >= enough


def _may_be_name(run: Sequence[Spoken], text: str, part: str) -> bool:
    """Whether a run that sounds like a name can stand for it: not English, or one word that looks out of place."""
    if min(word.frequency for word in run) < sounds.ORDINARY:
        return True
    if len(run) > 1 or run[0].frequency >= sounds.FREQUENT:
        return False
    out_of_place = (run[0].core[:1].isupper() and not run[0].opens) or run[0].word.probability < _UNSURE
    return out_of_place and sounds.likeness(text, part) >= _VERY_ALIKE
