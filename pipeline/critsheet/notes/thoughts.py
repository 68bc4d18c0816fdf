"""Cuts what was said into single thoughts: one remedy, one fault, one aside each.

Works with and without punctuation. A thought starts where a sentence does, where a new subject takes the word
("it's", "he goes", "and they are"), and where a command starts in the middle of talk ("... the dishwasher curl
them down"): a bare verb with its object after a word that cannot be its subject.
"""

import re
from collections.abc import Sequence

from critsheet.notes.verbs import ALSO_NOUNS, DETERMINERS, FINITE, HAPPENS, PREPOSITIONS, VERBS, third_person

HARD_MARKS = frozenset(".?!;:…—–")
_OBJECT_STARTS = DETERMINERS | frozenset(
    "it him them 'em em me us more less him himself herself itself two three four five six eight ten just up down "
    "off out in back on over away everything sure yourself somebody someone".split()
)
_SUBJECTS = frozenset("i he she they we".split())
_MAYBE_SUBJECTS = frozenset("it you that this there these those everything nothing everybody nobody".split())
_CONTRACTED = re.compile(
    r"^(?:i|he|she|it|they|we|you|that|there|what|who|everything|nothing|here)'(?:s|re|ve|d|ll|m)$"
)
_BINDERS = frozenset(
    "because cause cos if when where while until till that which who what how why as like than though although before "
    "after since once whether unless so and but or then the a way of to for with from in on at by about into "
    "think say mean know see feel guess suppose bet believe sure is are was were be been it's that's just maybe "
    "make let have want need whatever every time moment bit thing look looks feels sounds seems felt everything "
    "all only even not would could can will might should did do does don't doesn't didn't has hasn't isn't aren't "
    "wasn't weren't wouldn't couldn't shouldn't mustn't can't won't haven't second part place wish somebody "
    "someone".split()
)
"""After these a subject does not open a thought of its own."""

_SUBORDINATE = frozenset("because cos if when until till that where".split())
_ASKS = frozenset("will would could can might should do does did is are was were must shall".split())
_JUDGED = frozenset(
    "it what why how the a my number good great lovely gorgeous beautiful fine fixed better heaps so too just all not "
    "really where when because hard funny ace nice perfect right wrong brilliant fantastic".split()
)
"""After "that's" without a mark before it, these words judge; others tell which thing is meant ("the rope that's
tied on")."""

_ADVERBS = frozenset("not just too so very all gone been got still really bit quite always never".split())
_CLAUSE_STARTS = frozenset("where when who which that if while because as like until till so".split())
_LINKS = frozenset("and but so then or".split())
_TURNS = frozenset("maybe please let's lets perhaps".split())
_PRONOUNS = frozenset("it him them 'em em himself herself itself".split())
_ASKING = frozenset("needs need wants should must ought could shouldn't mustn't".split())
_CANNOT_COMMAND_AFTER = frozenset(
    "i you we they he she to can could would should will might must may don't doesn't didn't won't can't couldn't "
    "wouldn't shouldn't i'd you'd he'd she'd they'd we'd it'd i'll you'll we'll they'll it'll he'll she'll not never "
    "let's make makes let lets have help helps see saw watch feel felt him them who that which of in on at for with "
    "even being been from by into my your his her their its the a an this these those some any no every each do does "
    "did and or "
    "really always almost just actually people all both than as go gonna wanna everything it us me only ever wide "
    "half".split()
)
"""After these a bare verb is no command: something does it, or it is a noun."""

_ORDERS = frozenset("last next first second third other same whole big little".split())
_LOOK_BACK, _ASKS_WITHIN, _IS_WITHIN = 2, 6, 4
"""In words: how near before a verb a determiner makes it a noun ("one good slam"), and how soon after its
determiner the subject is over ("his whole left arm should", "that fence is")."""


def thoughts(words: Sequence[str]) -> list[list[str]]:
    """The words and marks of a remark, fluent already, cut into thoughts; marks at the ends stay."""
    lowered = [word.lower().replace("’", "'") for word in words]
    if not words:
        return []
    starts = [0]
    for place in range(1, len(words)):
        before = [word for word in lowered[starts[-1] : place] if word not in _LINKS]
        if _opens(lowered, place) and not (_is_main_clause(before, lowered[place]) or _goes_on(before, lowered[place])):
            starts.append(place)
    pieces = [list(words[a:b]) for a, b in zip(starts, [*starts[1:], len(words)], strict=True)]
    return [piece for piece in pieces if any(word[0].isalnum() for word in piece)]


def _is_main_clause(before: Sequence[str], word: str) -> bool:
    """Whether a thought that began with "when", "if" and the like only now comes to its main clause."""
    leads = bool(before) and before[0] in _LEADS_TO and len(before) <= _LONGEST_LEAD
    return leads and before.count(",") <= 1 and (before[-1] == "," or word == "then") and before[-1] not in HARD_MARKS


def _goes_on(before: Sequence[str], word: str) -> bool:
    """Whether a bare verb still belongs to the question or the "if" that the thought began with."""
    first = before[0] if before else ""
    asked = first in _ASKS and len(before) <= _ASKS_WITHIN and "," not in before and word in VERBS
    return asked or (first == "if" and word in {"and", "then"})


def _opens(words: Sequence[str], place: int) -> bool:
    word, before = words[place], words[place - 1]
    if not word[0].isalnum():
        return word == '"' and before in HARD_MARKS
    if before in HARD_MARKS:
        return True
    if word in _LINKS:
        return _opens_after_link(words, place)
    if before in _LINKS and place > 1:
        return False
    return _takes_the_word(words, place)


def _opens_after_link(words: Sequence[str], place: int) -> bool:
    """Whether "and", "so" and the like lead to a thought of its own."""
    following = place + 1
    while following < len(words) and (words[following] in _LINKS or words[following] in {"just", "maybe", ","}):
        following += 1
    if following >= len(words) or words[place - 1] in _LINKS:
        return False
    if words[place] == "so" and words[following] in DETERMINERS | _SUBJECTS | _MAYBE_SUBJECTS:
        return True
    if _is_subject(words, following) or words[following] in _TURNS:
        return True
    if words[following] == "do" and words[following + 1 : following + 2] and words[following + 1] in VERBS:
        return True
    return words[following] in VERBS | {"don't"} and _has_object(words, following)


def _takes_the_word(words: Sequence[str], place: int) -> bool:
    word, before = words[place], words[place - 1]
    earlier = _before(words, place)
    if word.endswith("n't") and before == "," and words[place + 1 : place + 2] and words[place + 1] in _SUBJECTS:
        return True  # "..., wouldn't he gather them"
    if word in _TURNS:
        return before not in _CANNOT_COMMAND_AFTER
    if _is_subject(words, place):
        bound = place > 1 and words[place - 2] in _SUBORDINATE and before[0].isalnum()
        return earlier not in _BINDERS and not bound
    free = before not in _BINDERS | _CANNOT_COMMAND_AFTER | PREPOSITIONS | VERBS | DETERMINERS
    if word in DETERMINERS and free and (_asks_of_thing(words, place) or _says_of_thing(words, place)):
        return True
    return _commands(words, place)


def _before(words: Sequence[str], place: int) -> str:
    """The word before, past commas and adverbs."""
    while place > 1 and (words[place - 1] == "," or words[place - 1].endswith("ly")):
        place -= 1
    return words[place - 1]


def _is_subject(words: Sequence[str], place: int) -> bool:
    word, following = words[place], words[place + 1] if place + 1 < len(words) else ""
    if word in {"that", "that's", "who's", "what's"} and words[place - 1][0].isalnum():
        # "the rope that's tied on to it" is one thing
        return word == "that's" and following in _JUDGED
    if word in _SUBJECTS or _CONTRACTED.match(word):
        return True
    return word in _MAYBE_SUBJECTS and following in FINITE


def _asks_of_thing(words: Sequence[str], place: int) -> bool:
    """ "the head should", "his whole arm needs to"."""
    for word in words[place + 1 : place + _ASKS_WITHIN]:
        if word in _SUBJECTS or _CONTRACTED.match(word):
            return False
        if word in _ASKING:
            return True
    return False


def _says_of_thing(words: Sequence[str], place: int) -> bool:
    """ "the bell's behind", "that fence is": a thing and what is said of it."""
    for at in range(place + 1, min(place + _IS_WITHIN, len(words) - 1)):
        word, following = words[at], words[at + 1]
        if not word[0].isalnum() or _CONTRACTED.match(word) or word in PREPOSITIONS | _SUBJECTS | _CLAUSE_STARTS:
            return False
        if at > place + 1 and word in FINITE:
            return True
        if word.endswith("'s") and (following in PREPOSITIONS | DETERMINERS | _ADVERBS or following.endswith("ing")):
            return True
    return False


def is_whole(text: str) -> bool:
    """Whether a thought can stand alone: somebody or something, and what is said of it."""
    words = [word.strip(',;:?!.…"').replace("’", "'") for word in text.lower().split()]
    if len(words) < _SHORTEST_CLAUSE or words[0] in _NEVER_ALONE or words[-1] in NEVER_LAST or not words[-1]:
        return False
    if words[0] in _LEADS_TO:
        main = text.partition(", ")[2]
        return bool(main) and is_whole(main)
    if words[0] == "that" and words[1] not in FINITE:
        return False
    said = [place for place, word in enumerate(words) if _says(word, words[place - 1] if place else "")]
    relative = next((place for place, word in enumerate(words) if place and word in _RELATIVE), len(words))
    return bool(said) and (said[0] < relative or len(said) > 1)


def is_phrase(text: str) -> bool:
    """Whether a thought names or describes without a verb, and was not cut off: "same bend, same fingers"."""
    words = [word.strip(',;:?!.…"').replace("’", "'") for word in text.lower().split()]
    verbs = any(_says(word, before) for before, word in zip(["", *words], words, strict=False))
    return len(words) > 1 and not verbs and words[0] not in _NEVER_ALONE and words[-1] not in NEVER_LAST


def _says(word: str, before: str) -> bool:
    """Whether a word is the verb of a clause, or holds one ("it's")."""
    if word.endswith(("'s", "'re", "'ve", "'d", "'ll", "'m", "n't")):
        return True
    if not before or before in DETERMINERS:
        return word in FINITE - {"just", "never"} and bool(before)
    past = word.endswith("ed") and before not in PREPOSITIONS
    plural = before.endswith("s") and not before.endswith(("ss", "'s"))
    return word in FINITE - {"just", "never"} or third_person(word) or past or (plural and word in HAPPENS)


_SHORTEST_CLAUSE, _LONGEST_LEAD = 3, 12
_LEADS_TO = frozenset("when if while because as at in on from by for after before around between during once".split())
_NEVER_ALONE = frozenset("which who whose whom where until till of than with and or but nor like whereas to so".split())
NEVER_LAST = (
    DETERMINERS - {"his", "her", "this", "that", "these", "those", "all", "both", "one", "any", "some", "another"}
) | frozenset(
    "and or but so because cos if when where while to of for with from at by into than is are was were be been he's "
    "she's it's they're i'm you're there's what's who's that's isn't aren't wasn't doesn't didn't don't i we they "
    "he she very really already just quite almost do does did has have had can could would should will might as "
    "wouldn't couldn't shouldn't won't can't what who which like about seems goes whose every gotta gonna wanna".split()
)
"""Words that promise more: a clause that ends in one was cut off."""

_RELATIVE = frozenset("that which who where when if because as while until till".split())


def _has_object(words: Sequence[str], place: int) -> bool:
    return place + 1 < len(words) and words[place + 1] in _OBJECT_STARTS


def _commands(words: Sequence[str], place: int) -> bool:
    """Whether a bare verb with its object starts here, after a word that cannot be its subject."""
    word, before = words[place], words[place - 1]
    following = words[place + 1] if place + 1 < len(words) else ""
    plural = before.endswith("s") and not before.endswith("ss")
    if word in {"don't", "never"}:
        return following in VERBS and before not in _CANNOT_COMMAND_AFTER and not plural
    if word not in VERBS or not _has_object(words, place):
        return False
    if word in ALSO_NOUNS and following not in DETERMINERS | _PRONOUNS:
        return False
    if before == ",":
        return True
    cannot_be_subject = not (plural or "'" in before or before in _CANNOT_COMMAND_AFTER | VERBS)
    takes_object = word not in ALSO_NOUNS and following in DETERMINERS | _PRONOUNS
    near = set(words[max(0, place - _LOOK_BACK) : place])
    if any(word.endswith("'s") for word in near):
        return False  # "like somebody's elbow hit the table"
    return cannot_be_subject and (takes_object or not near & (DETERMINERS | _ORDERS))
