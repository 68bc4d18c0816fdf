"""How alike words sound, and how ordinary they are."""

import unicodedata
from functools import lru_cache

import jellyfish
from rapidfuzz.distance import JaroWinkler

_ALIKE = str.maketrans({"B": "P", "D": "T", "G": "K", "J": "X", "V": "F", "Z": "S", "H": None})
"""Metaphone letters that differ only by voice (b and p), which a microphone blurs; h comes and goes."""

_VOWELS = "AEIOU"
ORDINARY, FREQUENT, EVERYWHERE = 3.0, 4.5, 5.3
"""Zipf frequencies (wordfreq: log10 of uses in a thousand million words): a word is ordinary English from one use in a
million on, where trade words such as "gimbal" and made-up names lie below; everybody says it daily from thirty on
("question", "side"); from two hundred on it stands in every other sentence ("in", "way")."""


@lru_cache(maxsize=65536)
def code(text: str) -> str:
    """A phonetic code: words with one code sound nearly alike. Empty for text without Latin letters.

    It is Metaphone (Philips 1990) with voicing, first vowels and -ing levelled.
    """
    metaphone = jellyfish.metaphone(letters(text)).replace(" ", "")
    if metaphone[:1] in _VOWELS:
        metaphone = "A" + metaphone[1:]
    if metaphone.endswith("NK") and letters(text).endswith("ing"):
        metaphone = metaphone[:-1]
    return metaphone.translate(_ALIKE)


@lru_cache(maxsize=65536)
def letters(text: str) -> str:
    """The plain Latin letters of a text, lower case, without accents, spaces and marks."""
    plain = unicodedata.normalize("NFKD", text.casefold())
    return "".join(character for character in plain if "a" <= character <= "z")


def likeness(left: str, right: str) -> float:
    """How alike two texts are spelt, 0 to 1 (Jaro-Winkler)."""
    return JaroWinkler.similarity(letters(left), letters(right))


@lru_cache(maxsize=65536)
def frequency(word: str) -> float:
    """The Zipf frequency of an English word, 0.0 for one that is not known."""
    from wordfreq import zipf_frequency

    return float(zipf_frequency(word, "en"))
