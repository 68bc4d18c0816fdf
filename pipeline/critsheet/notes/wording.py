"""The action of a note: one sentence a student can act on, made only of what was said.

A remedy becomes a command; a fault without a remedy stays a fault, and the sentence says so by its
"Fix:". Pronouns get the noun they stand for where the note itself names it; otherwise the fault is
added, so that nobody has to guess what "it" is.
"""

import re
from collections.abc import Sequence

from critsheet.language.disfluencies import fluent
from critsheet.language.remarks import CHATTER, Remark
from critsheet.language.subjects import characters
from critsheet.notes.about import About
from critsheet.notes.evidence import COMMON_STEMS
from critsheet.notes.imperatives import VERBS, suggestion_in, without_openers
from critsheet.notes.labels import Labels
from critsheet.sheet import FrameRange

MAX_WORDS = 34
"""Longer sentences are hard to act on; the mentor's full words stand beside the action anyway."""

FEW_WORDS = 3
"""A clause of fewer words ("fix that") tells too little alone."""

_POINTERS = re.compile(r"\b(?:it|that|this|those|these|them|there|one|same)\b", re.IGNORECASE)
_OBJECT = re.compile(
    r"^(?P<verb>(?:don't )?[\w']+(?: (?:up|down|off|out|in|on|back|over))?) (?P<what>it|them|(?:that|this|those|these)"
    r"(?= (?:up|down|in|out|to|until|till|off|on|over|through|closed|open|alive|a|with|from|at|for|before|after|so|and|"
    r"when|by|later|earlier|sooner|just|until|all|as|there|here|\d\S*)\b|[,.;]|$))(?=[ ,.;]|$)",
    re.IGNORECASE,
)
_SMALL_WORDS = (COMMON_STEMS | VERBS | {"his", "there", "these", "those", "everything", "nothing"}) - {"i"}
_PLURAL = frozenset("them those these".split())
_OPTIONAL = re.compile(
    r"\b(?:if (?:there's|there is|you've got|you have|you get|you got) (?:the )?(?:any )?time|up to you)\b",
    re.IGNORECASE,
)
_PERSON = re.compile(r"\b(?:he|she|him)\b(?!')", re.IGNORECASE)
_KEPT = re.compile(
    r"^(?:i (?:really |just |do |also |absolutely )?(?:love|like|loved|liked|adore|enjoy|dig)|"
    r"i'm (?:really )?(?:loving|digging|liking))"
    r"\s+(?P<what>\S.*)$",
    re.IGNORECASE,
)


def action(note: About, labels: Labels, frames: Sequence[FrameRange], names: Sequence[str]) -> str:
    """One sentence ending in a full stop, with the frames said; `names` are the shot's characters and props."""
    clauses = _clauses(note.remarks)
    text = _keep(clauses) if note.kind == "keep" else _do(clauses, note) or _fault(clauses, note)
    if labels.strength == "could" and not _OPTIONAL.search(text):
        text = f"If there is time: {_lower_first(text)}"
    if labels.subject and characters(names) == (labels.subject,):
        text = _named_once(text, labels.subject)
    if frames and not re.search(r"\d", text):
        text = f"{text}, {at_frames(frames)}"
    return _sentence(text)


def at_frames(frames: Sequence[FrameRange]) -> str:
    """Frames in words: "at 42", "from 40 to 58", "at 18 and 70"."""
    parts = [f"{f.first}" if f.first == f.last else f"{f.first}–{f.last}" for f in frames]
    if len(parts) > 1:
        return f"at {', '.join(parts[:-1])} and {parts[-1]}"
    return f"at {parts[0]}" if frames[0].first == frames[0].last else f"from {frames[0].first} to {frames[0].last}"


def _clauses(remarks: Sequence[Remark]) -> list[str]:
    """The remarks as fluent text without chatter; long ones split where a new thought starts."""
    clauses: list[str] = []
    for remark in remarks:
        if remark.function == CHATTER and len(remarks) > 1:
            continue
        text = _spaced(fluent(remark.words))
        clauses += [part.strip(" ,;:-—.") for part in re.split(r"[.!…;]|, (?=(?:so|but|and then|then)\b)| — ", text)]
    return [clause for clause in clauses if clause]


def _spaced(words: Sequence[str]) -> str:
    text = " ".join(words)
    text = re.sub(r" ([,.;:?!…)])", r"\1", text)
    return re.sub(r"\bi\b", "I", text)


def _do(clauses: Sequence[str], note: About) -> str | None:
    """The first remedy as a command with what is said of it after; with the fault where it would hang in the air."""
    for place, clause in enumerate(clauses):
        found = suggestion_in(clause)
        if not found or not _tells(found[1]):
            continue
        before = [*clauses[:place], *([found[0]] if found[0] else [])]
        text = _shortened(_object_named(found[1], before, note))
        for following in clauses[place + 1 :]:
            more = suggestion_in(following)
            added = more[1] if more and not more[0] else without_openers(following)
            if not added or len(text.split()) + len(added.split()) > MAX_WORDS:
                break
            text = f"{text}; {_lower_first(added)}"
        vague = _POINTERS.search(" ".join(text.split()[:4])) or len(text.split()) <= FEW_WORDS
        fault = _shortened(_telling(before), max(MAX_WORDS - len(text.split()), MAX_WORDS // 2)) if before else ""
        return f"{text} ({_lower_first(fault)})" if vague and fault else text
    return None


def _lower_first(text: str) -> str:
    """A clause without its capital, unless it starts with "I" or a name or number."""
    first = text.split(" ", 1)[0]
    return text[0].lower() + text[1:] if re.sub(r"'.*", "", first.lower()) in _SMALL_WORDS else text


def _tells(text: str) -> bool:
    return len(text.split()) > 1 or text.lower() in {"plant", "lock", "hold"}


def _object_named(text: str, clauses: Sequence[str], note: About) -> str:
    """ "Keep those closed" with the lids just spoken of gives "keep the lids closed"."""
    match = _OBJECT.match(text)
    if not match:
        return text
    named = _last_part(clauses, note, plural=match["what"].lower() in _PLURAL)
    if not named:
        return text
    return text[: match.start("what")] + named + text[match.end("what") :]


def _last_part(clauses: Sequence[str], note: About, plural: bool) -> str | None:
    """The last body part named before, as it was called, if it fits in number."""
    before = " ".join(clauses).lower()
    for remark in reversed(note.remarks):
        for found in reversed(remark.body):
            word = found.text.lower().split()[-1]
            is_plural = word.endswith("s") or word in {"feet", "teeth"}
            if is_plural == plural and re.search(rf"\b{re.escape(word)}\b", before):
                sides = re.findall(
                    rf"\b((?:(?:left|right|back|front|near|far|upper|lower|whole)\s+)*{re.escape(word)})\b", before
                )
                return f"the {sides[-1] if sides else word}"
    return None


def _fault(clauses: Sequence[str], note: About) -> str:
    """The fault as it was put, when the mentor gave no remedy."""
    label = "Plan" if note.kind == "plan" else "Fix"
    return f"{label}: {_shortened(_telling(clauses))}"


def _telling(clauses: Sequence[str]) -> str:
    """The clauses that say most, from the first one with enough words on, without openers."""
    bare = [without_openers(clause) for clause in clauses]
    told = (
        [clause for clause in bare if len(clause.split()) > FEW_WORDS]
        or [clause for clause in bare if clause]
        or list(clauses)
    )
    text = told[0] if told else ""
    for clause in told[1:]:
        if len(text.split()) + len(clause.split()) > MAX_WORDS:
            break
        text = f"{text}; {_lower_first(clause)}"
    return _lower_first(text)


def _keep(clauses: Sequence[str]) -> str:
    for clause in clauses:
        match = _KEPT.search(without_openers(clause))
        if match and not _POINTERS.match(match["what"]):
            return f"Keep {_shortened(match['what'])}"
    return f"Keep: {_shortened(_telling(clauses))}"


def _shortened(text: str, limit: int = MAX_WORDS) -> str:
    """At most `limit` words, cut where a clause ends if one does in the second half."""
    words = text.split()
    if len(words) <= limit:
        return text
    cut = words[: max(limit, 1)]
    for place in range(len(cut) - 1, len(cut) // 2, -1):
        if cut[place][-1] in ",;:?" or words[place + 1].lower() in {"and", "but", "so", "because", "when", "then"}:
            return " ".join(cut[: place + 1]).rstrip(",;:")
    return " ".join(cut).rstrip(",;:") + " …"


def _named_once(text: str, name: str) -> str:
    """The first "he", "she" or "him" as the name of the one character there is."""
    if name.lower() in text.lower():
        return text
    return _PERSON.sub(name, text, count=1)


def _sentence(text: str) -> str:
    text = re.sub(r"\s+", " ", text).strip(" ,;:-—")
    text = text[0].upper() + text[1:] if text else text
    return text if text.endswith(("?", "…", "!")) else f"{text}."
