"""The thoughts of a note, judged: what each asks for, what it praises, how much it tells."""

import re
from collections import Counter
from collections.abc import Sequence
from collections.abc import Set as AbstractSet
from dataclasses import dataclass

from critsheet.language.disfluencies import fluent
from critsheet.language.remarks import Remark
from critsheet.notes.about import About
from critsheet.notes.evidence import COMMON_STEMS
from critsheet.notes.imperatives import imperative, without_openers
from critsheet.notes.praise import praised
from critsheet.notes.similes import IS_SIMILE, without_asides, without_simile
from critsheet.notes.thoughts import HARD_MARKS, NEVER_LAST, is_phrase, is_whole, thoughts
from critsheet.notes.verbs import DETERMINERS, FINITE, PREPOSITIONS
from critsheet.vocabulary.stems import stem

LIGHT = 0.4
"""A thought that tells less than this share of what the best one tells adds nothing to it."""

MANY = 3
"""Commands in one action; more are hard to hold."""

MARKS = " ,;:-—.!"

_REPEATED, _TRADE = 0.5, 0.5
"""What a word counts more that the note says again, and a part or trade term found by the vocabulary."""

_ASIDE, _PERSONAL, _FIRST = 0.4, 0.6, 1.4
"""How much a thought weighs that talks of the talk, of how things were or in similes; one that speaks of "me" or
"you"; the one that opens a note, which mostly says what it is about. Found by trial on half of the critiques."""

_TALK = re.compile(
    r"^(?:i|i'\w+|we|we'\w+|you've|you see|what|that's (?:it|all|what|the|why|how|a|just|my|number|me)|this is|let me|"
    r"look|listen|if you|if they|all)(?!['\w])",
    re.IGNORECASE,
)
"""How talk of the mentor's own doings and of the talk itself begins."""

_PERSONS = re.compile(r"\b(?:i|my|me|you)\b", re.IGNORECASE)
_EARLIER = re.compile(
    r"\b(?:last (?:time|week|month|round|pass|year)|was|were|used to|had been|before it)\b", re.IGNORECASE
)
_LINK = re.compile(r"^(?:(?:so|and|but)\s+)*(?P<link>and|then|but|so)\b", re.IGNORECASE)
_FILLS = frozenset("well um maybe now just like okay".split())
_PRONOUN_FIRST = re.compile(r"^(?:it|that|this|he|she|they|those|these)(?:'\w+)?\b", re.IGNORECASE)
_ASKED = re.compile(
    r"^(?:is|are|was|were|do|does|did|has|have|had|can|could|would|should|will|may|might|isn't|aren't|doesn't|didn't|"
    r"wasn't|haven't|hasn't|what|what's|who|who's|why|how|where|when|which)\b.*\?$|\?$",
    re.IGNORECASE,
)
_PLACE = re.compile(
    r"^(?:at|on|in|from|around|under|when|after|before|right|over|by|near|during|between|up|down|as)\b", re.IGNORECASE
)
_RESULT = re.compile(r"^that (?=(?:it|he|she|they|we)\b)", re.IGNORECASE)
"""What is left of "so that they ..." once "so" is off."""

_POINTING = frozenset("the his her their its that this those these".split())
_GOES_ON = re.compile(r"(?:it|he|she|they)\b", re.IGNORECASE)
_LONGEST_PLACE, _LONGEST_PURPOSE = 8, 12
"""In words: what only says where, and what only says what for."""

_PHRASE, _BROKEN, _POINTS = 0.5, 0.25, 0.6
"""How clear a thought is that is no clause ("same bend, same fingers"); one that was cut off; one that begins with
"it" or "they"."""

_LEFT_OVER = re.compile(
    r",? (?:otherwise|unless|(?:and|but|so) (?:you|it|then|afterwards|from this|from that))$", re.IGNORECASE
)
"""How a thought begins that was cut off right away."""

_SUBORDINATE, _NEAR = frozenset("till until where what how as than when who whatever".split()), 5
_DAYS = frozenset("Monday Tuesday Wednesday Thursday Friday Saturday Sunday".split())
_LONE_COMMANDS = frozenset(["plant", "lock", "hold"])
_NUMBER = re.compile(
    r"^(?:\d[\d-]*|to|till|and|a|hundred|thousand|(?:(?:one|two|three|four|five|six|seven|eight|nine|ten|eleven|twelve|"
    r"\w+teen|\w+ty|oh|o)-?)+)$",
    re.IGNORECASE,
)


@dataclass(frozen=True)
class Said:
    """One thought: its `place` in the note, its words, the "and", "then", "but" or "so" before it, the command in
    it, the thing it praises, how much it tells (`weight`, in telling words), and how clear it is by itself
    (`clear`, up to 1: a whole clause that names what it is about)."""

    place: int
    text: str
    link: str
    done: str | None
    kept: str | None
    weight: float
    clear: float


def judged(note: About) -> list[Said]:
    """The note's thoughts in spoken order, at least one."""
    pieces = [thoughts(without_asides(fluent(words))) for words in _running(note)]
    texts = _with_places([spaced(words) for thought in pieces for words in _with_purposes(thought)])
    texts = texts or [remark.text for remark in note.remarks]
    counts = Counter(form for text in texts for form in telling(text))
    named = {found.text.lower() for remark in note.remarks for found in remark.body}
    named |= {found.text.lower() for remark in note.remarks for found in remark.findings if found.category}
    return [_judged(place, text, note.kind == "keep", counts, named) for place, text in enumerate(texts)]


def _running(note: About) -> list[list[str]]:
    """The words of each remark, with what a pause or a cut in the middle of a clause took apart put together."""
    proper = {word for remark in note.remarks for found in remark.subjects for word in found.name.split()}
    kept: list[list[str]] = []
    end = -1
    for remark in note.remarks:
        words = _in_small_letters(_with_digits(remark), proper)
        if kept and remark.first == end and kept[-1] and kept[-1][-1].lower() in NEVER_LAST:
            kept[-1] = [*kept[-1], *words]
        else:
            kept.append(words)
        end = remark.end
    return kept


def _in_small_letters(words: Sequence[str], proper: AbstractSet[str]) -> list[str]:
    """The words without the capitals that only say where a sentence begins, and with those of names."""
    named = {word.lower(): word for word in proper if word[0].isupper()}
    mid = {
        word for before, word in zip(words, words[1:], strict=False) if before[-1] not in '.?!"…—' and word[0].isupper()
    }
    kept: list[str] = []
    for place, word in enumerate(words):
        starts = place == 0 or words[place - 1] in {".", "?", "!", "…"}
        bare = re.sub(r"['’].*", "", word)
        keeps = bare in proper or bare in _DAYS or bare == "I" or word in mid or (len(bare) > 1 and bare.isupper())
        written = named.get(bare, bare) + word[len(bare) :]  # captions know no capitals
        kept.append(written if keeps or bare in named or not starts else word[0].lower() + word[1:])
    return kept


def spaced(words: Sequence[str]) -> str:
    """Words and marks as running text."""
    text = re.sub(r" ([,.;:?!…)])", r"\1", " ".join(words))
    text = re.sub(r"(?:^|(?<=\s))(['’]) (?=(?:em|cause|er)\b)", r"\1", text)
    text = re.sub(r'" ([^"]*?) "', r'"\1"', text)
    return re.sub(r"\bi\b", "I", text)


def _judged(place: int, text: str, keeps: bool, counts: Counter[str], named: set[str]) -> Said:
    link = _LINK.match(text)
    asked = bool(_ASKED.search(text.strip(" ,;:")))
    bare = without_simile(without_openers(text) or text)
    ended = text.endswith((".", "?", "!"))
    bare = _RESULT.sub("", bare if ended else _finished(bare)).strip(MARKS)
    done = imperative(text)
    if done:
        done = without_simile(done)
        done = _LEFT_OVER.sub("", (done if ended else _finished(done)).strip(MARKS + "?"))
        done = done if len(done.split()) > 1 or done in _LONE_COMMANDS else None
    kept = praised(bare.rstrip("?"))
    weight = _weight(done or bare, counts, named) * (1 if place else _FIRST)
    if not done and (_TALK.match(bare) or IS_SIMILE.match(bare)):
        weight *= _ASIDE
    if not done and _PERSONS.search(bare):
        weight *= _PERSONAL
    if _EARLIER.search(bare):
        weight *= _ASIDE**2 if keeps else _ASIDE
    elif keeps and done and not kept:
        weight *= _ASIDE
    clear = 1 if is_whole(bare) else _PHRASE if is_phrase(bare) else _BROKEN
    clear *= _POINTS if _PRONOUN_FIRST.match(bare) else 1
    return Said(place, bare, link["link"].lower() if link else "", done, kept, weight, clear * (_ASIDE if asked else 1))


def _finished(text: str) -> str:
    """The text without last words that promise more: "the foot slides and it's"."""
    words = re.sub(r",? (?:and|but|cos|because) (?:if|when|while) [^,]{0,30}$", "", text).split()
    cut = frozenset[str]()
    while len(words) > 1 and words[-1].strip(MARKS).lower() in NEVER_LAST | _FILLS | cut | {""}:
        if words[-1].lower() in FINITE | {"goes"} and _SUBORDINATE & {word.lower() for word in words[-_NEAR:]}:
            break  # "till it goes"
        cut = PREPOSITIONS if words.pop().lower() in DETERMINERS else frozenset()
    return _LEFT_OVER.sub("", " ".join(words))


def _weight(text: str, counts: Counter[str], named: set[str]) -> float:
    forms = telling(text)
    repeated = sum(counts[form] > 1 for form in forms)
    return len(forms) + _REPEATED * repeated + _TRADE * sum(name in text.lower() for name in named)


def telling(text: str) -> set[str]:
    """The stems of the words that tell something."""
    return {stem(word) for word in re.findall(r"[^\W\d][\w'’-]*", text.lower())} - COMMON_STEMS


def _with_digits(remark: Remark) -> list[str]:
    """The remark's words with the frames said as digits: "at two eighteen" gives "at 218"."""
    words = list(remark.words)
    for found in sorted(remark.frames, key=lambda found: -found.start):
        start, end = found.start - remark.first, found.end - remark.first
        if end <= len(words) and all(_NUMBER.match(word) for word in words[start:end]):
            until = "and" if start and words[start - 1].lower() == "between" else "to"
            ends = [str(found.first), until, str(found.last)]
            words[start:end] = ends[:1] if found.first == found.last else ends
    return words


def _with_purposes(pieces: list[list[str]]) -> list[list[str]]:
    """The thoughts of a remark, with "so it lands in the light" put back to the remedy that it explains."""
    kept: list[list[str]] = []
    for words in pieces:
        purpose = words[0].lower() == "so" and len(words) <= _LONGEST_PURPOSE and not imperative(spaced(words))
        if purpose and kept and kept[-1][-1] not in HARD_MARKS and imperative(spaced(kept[-1])):
            kept[-1] = [*kept[-1], *words]
        else:
            kept.append(words)
    return kept


def _with_places(texts: Sequence[str]) -> list[str]:
    """The thoughts, with those that only say where ("under the table") or of what ("the knee") put before the next."""
    kept: list[str] = []
    lead = ""
    for place, text in enumerate(texts):
        bare = without_openers(text).strip(MARKS + "…?")
        following = texts[place + 1] if place + 1 < len(texts) else ""
        if not lead and following and _leads(bare, following):
            lead = bare
        elif bare:
            mark = "," if _PLACE.match(lead) else ":"
            kept.append(f"{lead}{mark} {without_openers(text)}" if lead else text)
            lead = ""
    return kept


def _leads(text: str, following: str) -> bool:
    """Whether a thought is a bare place or thing of which the next one says something."""
    words = text.lower().split()
    if len(words) not in range(2, _LONGEST_PLACE + 1) or any(word in FINITE or "'" in word for word in words):
        return False
    if imperative(text) or imperative(following) or is_whole(text):
        return False
    goes_on = _GOES_ON.match(without_openers(following))
    return bool(_PLACE.match(text) or (words[0] in _POINTING and goes_on))


def once(pieces: Sequence[Said]) -> list[Said]:
    """The pieces without commands that only say again what another one says more fully."""
    words = {piece.place: set((piece.done or "").lower().split()) for piece in pieces}
    kept: list[Said] = []
    for piece in sorted(pieces, key=lambda piece: -len(words[piece.place])):
        if not any(words[piece.place] <= words[other.place] for other in kept):
            kept.append(piece)
    return sorted(kept, key=lambda piece: piece.place)


def chosen(pieces: Sequence[Said], room: int, many: int = MANY) -> list[Said]:
    """The pieces that tell most and fit, in spoken order; at least one.

    A light one counts where the next one goes on from it in one breath: "drop them down and get his back curved".
    """
    kept: list[Said] = []
    gone_on_from = {piece.place - 1 for piece in pieces if piece.done and piece.link}
    ranked = sorted(pieces, key=lambda piece: -piece.weight)
    for piece in ranked:
        size = len((piece.done or piece.text).split())
        light = piece.weight < LIGHT * ranked[0].weight and not (piece.done and piece.place in gone_on_from)
        if kept and (size > room or light or len(kept) == many):
            continue
        kept.append(piece)
        room -= size
    return sorted(kept, key=lambda piece: piece.place)
