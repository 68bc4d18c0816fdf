"""Cuts spoken words into comparable tokens, the same way for rules and for speech.

"doesn't", "does n't" and "does not" give the same tokens, and so do "follow-through" and
"follow through". Words that carry no meaning inside a phrase ("um", "the", "kind of") are marked as
skippable: a rule need not mention them.
"""

import re
from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache

from critsheet.vocabulary.stems import stem

BREAK = ""
"""The form of the token that stands between sentences; no phrase may cross it."""

_JOINTS = re.compile(r"[^a-z0-9']+")
_SENTENCE_END = re.compile(r"(?<![.])[.?!]+[\"'”’)\]]*$")
_SUFFIXES = {"'s": "'s", "'re": "are", "'m": "am", "'ve": "have", "'ll": "will", "'d": "would", "'em": "them"}
_CLIPPED = {"ca": "can", "wo": "will", "sha": "shall", "ai": "is"}
_UNWRITTEN = {
    **{word: (word[:-2], "not") for word in (
        "dont doesnt didnt isnt arent wasnt werent couldnt wouldnt shouldnt havent hasnt hadnt".split()
    )},
    "cant": ("can", "not"), "cannot": ("can", "not"), "cos": ("because",), "cuz": ("because",), "'cause": ("because",),
    "'em": ("them",), "n't": ("not",), "gotta": ("got", "to"), "wanna": ("want", "to"), "gonna": ("going", "to"),
    "lemme": ("let", "me"), "gimme": ("give", "me"), "'cos": ("because",), "ain't": ("is", "not"), "im": ("i", "am"),
    "hes": ("he", "'s"), "shes": ("she", "'s"), "theyre": ("they", "are"), "whats": ("what", "'s"),
    "thats": ("that", "'s"), "innit": ("is", "not", "it"), "gon": ("going",), "na": ("to",),
    "ca": ("can",), "wo": ("will",),
}  # fmt: skip

_SKIPPED_WORDS = frozenset(
    """
    um uh uhm umm er erm hmm mm mmm ah oh eh like just really actually literally basically quite very kinda sorta so
    well yeah right okay ok the a an this that these those his her its their your my our some any of is are was were
    am be been being 's here there now still also maybe probably slightly pretty super totally completely absolutely
    definitely always constantly already all whole little bit even ever only simply dead bloody proper
    """.split()
)
_SKIPPED_PHRASES = tuple(
    tuple(phrase.split())
    for phrase in (
        "you know", "i mean", "sort of", "kind of", "i think", "i guess", "you see", "at the moment", "right now",
        "in a way", "or something", "i feel", "if you like", "at times", "as well", "to me", "for me", "going to",
    )
)  # fmt: skip


@dataclass(frozen=True)
class Token:
    """A comparable piece of a spoken word; `word` is the index of the word it came from."""

    form: str
    stem: str
    word: int
    skippable: bool = False


@lru_cache(maxsize=65536)
def pieces(word: str) -> tuple[str, ...]:
    """The lower-case parts of one spoken word, without punctuation: "Doesn't," gives ("does", "not")."""
    lowered = word.lower().replace("’", "'").replace("‘", "'")
    parts: list[str] = []
    for part in _JOINTS.split(lowered):
        bare = part.rstrip("'")
        if bare in _UNWRITTEN:
            parts.extend(_UNWRITTEN[bare])
        elif bare in _SUFFIXES:
            parts.append(_SUFFIXES[bare])
        elif bare := bare.lstrip("'"):
            parts.extend(_uncontracted(bare))
    return tuple(parts)


def _uncontracted(part: str) -> tuple[str, ...]:
    if part.endswith("n't"):
        return (_CLIPPED.get(part[:-3], part[:-3]), "not")
    base, apostrophe, rest = part.partition("'")
    if not apostrophe:
        return (part,)
    suffix = _SUFFIXES.get("'" + rest)
    return (base, suffix) if suffix else (base + rest,)


def ends_sentence(word: str) -> bool:
    """Whether a spoken word (or a punctuation token) closes a sentence: "there." does, "..." does not."""
    return bool(_SENTENCE_END.search(word))


def tokenise(words: Sequence[str]) -> list[Token]:
    """Comparable tokens of spoken words, with a BREAK token after each end of a sentence."""
    tokens: list[Token] = []
    for index, word in enumerate(words):
        for form in pieces(word):
            repeated = bool(tokens) and tokens[-1].form == form
            tokens.append(Token(form, stem_of(form), index, repeated or form in _SKIPPED_WORDS))
        if ends_sentence(word):
            tokens.append(Token(BREAK, BREAK, index))
    return _with_fillers(tokens)


def stem_of(form: str) -> str:
    """The stem of one piece; a clipped "'s" counts as a form of "be"."""
    return "be" if form == "'s" else stem(form)


def _with_fillers(tokens: list[Token]) -> list[Token]:
    """Marks the words of fillers such as "you know" as skippable."""
    forms = [token.form for token in tokens]
    marked = list(tokens)
    firsts: dict[str, list[tuple[str, ...]]] = {}
    for phrase in _SKIPPED_PHRASES:
        firsts.setdefault(phrase[0], []).append(phrase)
    for start, form in enumerate(forms):
        for phrase in firsts.get(form, ()):
            if tuple(forms[start : start + len(phrase)]) == phrase:
                for place in range(start, start + len(phrase)):
                    marked[place] = Token(forms[place], tokens[place].stem, tokens[place].word, True)
    return marked
