"""Live and automatic captions roll: each repeats the line above and adds one. Every word is read once."""

from collections.abc import Sequence

_LONGEST_ROLL = 40
"""Words; two full caption lines hold about twenty."""

_SURE_WORDS = 3
"""So many words in a row are seldom repeated by chance just where a caption ends."""

_FEWEST_ROLLS = 2
_ROLLING_SHARE = 0.25
"""Of a rolling file, at least every other caption begins with the one before; of others hardly one."""


def without_rolled(captions: Sequence[Sequence[str]]) -> list[int]:
    """How many leading words of each caption were already shown by the one before; all 0 unless the file rolls.

    A speaker who repeats himself ("no, no") looks the same for two captions, but not all through a file.
    """
    spoken = [[_bare(word) for word in caption] for caption in captions]
    repeats = [0] + [_overlap(before, after) for before, after in zip(spoken, spoken[1:], strict=False)]
    full = [number for number, words in enumerate(spoken) if words]
    rolling = sum(_sure(spoken, repeats, number) for number in range(1, len(spoken)))
    if rolling < max(_FEWEST_ROLLS, _ROLLING_SHARE * (len(full) - 1)):
        return [0] * len(captions)
    return repeats


def _overlap(before: list[str], after: list[str]) -> int:
    """The most words with which `before` ends and `after` begins."""
    for length in range(min(len(before), len(after), _LONGEST_ROLL), 0, -1):
        if before[-length:] == after[:length]:
            return length
    return 0


def _sure(spoken: list[list[str]], repeats: list[int], number: int) -> bool:
    """Whether a caption shows the one before and goes on from it; the same words alone may be said twice."""
    repeated = repeats[number]
    goes_on = repeated < len(spoken[number])
    return goes_on and (repeated >= _SURE_WORDS or 0 < repeated == len(spoken[number - 1]))


def _bare(word: str) -> str:
    return "".join(character for character in word.casefold() if character.isalnum()) or word
