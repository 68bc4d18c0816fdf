"""The action of a note: one sentence a student can act on, made only of what was said.

A remedy becomes a command; a fault without a remedy stays a fault, and the sentence says so by its
"Fix:". "It" and "them" get the noun they stand for where the note itself names it; a short remedy has the fault
added, so that nobody has to guess what it is about.
"""

import re
from collections.abc import Sequence

from critsheet.language.subjects import characters
from critsheet.notes.about import About
from critsheet.notes.evidence import COMMON_STEMS
from critsheet.notes.imperatives import VERBS
from critsheet.notes.labels import Labels
from critsheet.notes.pointers import named
from critsheet.notes.said import Said, judged
from critsheet.sheet import FrameRange

MAX_WORDS = 34
"""Longer sentences are hard to act on; the mentor's full words stand beside the action anyway."""

ENOUGH_WORDS = 24
"""Thoughts are added up to so many words."""

SHORT_WORDS = 20
"""A remedy of no more words has the fault added to it."""

FAULT_WORDS = 14
"""The room a fault gets beside any remedy."""

FEW_WORDS = 3
"""A fault of fewer words ("nitpick") tells nothing."""

LIGHT = 0.4
"""A thought that tells less than this share of what the best one tells adds nothing to it."""

_SIZE = 8
"""Words added to the length of a fault when it is weighed, so that the shortest does not always win."""

_POINTERS = re.compile(r"\b(?:it|that|this|those|these|them|there|one|same)\b", re.IGNORECASE)
_SMALL_WORDS = (
    COMMON_STEMS
    | VERBS
    | frozenset(
        "his there these those everything nothing maybe fix plan first only even nobody somebody each every another "
        "several both related straight until between during same other let's instead three four".split()
    )
) - {"i"}
_OPTIONAL = re.compile(
    r"\b(?:if (?:there's|there is|you've got|you have|you get|you got) (?:the )?(?:any )?time|up to you)\b",
    re.IGNORECASE,
)
_HE, _SHE = frozenset("he him his he's he'd himself".split()), frozenset("she her hers she's she'd herself".split())
_HER_TITLES, _HIS_TITLES = frozenset("mrs miss ms madame lady".split()), frozenset("mr sir lord uncle".split())
_PERSON = re.compile(r"\b(?:he|she|him|his)\b", re.IGNORECASE)


def action(note: About, labels: Labels, frames: Sequence[FrameRange], names: Sequence[str]) -> str:
    """One sentence ending in a full stop, with the frames said; `names` are the shot's characters and props."""
    said = judged(note)
    text = _keep(said) if note.kind == "keep" else _do(said, note) or _fault(said, note)
    if labels.strength == "could" and not _OPTIONAL.search(text):
        text = f"If there is time, {_lower_first(text)}"
    if labels.subject and _only_one(labels.subject, note, names):
        text = _named_once(text, labels.subject)
    if frames and not any(re.search(rf"\b(?:{f.first}|{f.last})\b", text) for f in frames):
        command, bracket, fault = text.partition(" (")
        text = f"{command}, {at_frames(frames)}{bracket}{fault}"
    return _sentence(text)


def at_frames(frames: Sequence[FrameRange]) -> str:
    """Frames in words: "at 42", "from 40 to 58", "at 18 and 70"."""
    parts = [f"{f.first}" if f.first == f.last else f"{f.first}–{f.last}" for f in frames]
    if len(parts) > 1:
        return f"at {', '.join(parts[:-1])} and {parts[-1]}"
    return f"at {parts[0]}" if frames[0].first == frames[0].last else f"from {frames[0].first} to {frames[0].last}"


def _do(said: Sequence[Said], note: About) -> str | None:
    """The remedies that tell most, in spoken order, with the fault after a short one."""
    remedies = [piece for piece in said if piece.done]
    if not remedies:
        return None
    parts = [found.text.lower().split()[-1] for remark in note.remarks for found in remark.body]
    told = [piece.text for piece in said]
    text = _joined([(named(piece.done or "", told[: piece.place], parts), piece) for piece in _chosen(remedies)])
    size = len(text.split())
    short = size <= SHORT_WORDS or _POINTERS.search(" ".join(text.split()[:4]))
    fault = _plainest(said, max(MAX_WORDS - size, FAULT_WORDS))
    return f"{text} ({_lower_first(fault)})" if short and fault else text


def _plainest(said: Sequence[Said], room: int) -> str | None:
    """The thought besides the remedies that tells most in few words; one that fits before one to be cut."""
    faults = [piece for piece in said if not piece.done and len(piece.text.split()) >= FEW_WORDS]
    fitting = [piece for piece in faults if len(piece.text.split()) <= room] or faults
    if not fitting:
        return None
    best = max(fitting, key=lambda piece: piece.weight**3 / (len(piece.text.split()) + _SIZE))
    return _shortened(best.text, room)


def _fault(said: Sequence[Said], note: About) -> str:
    """The fault as it was put, when the mentor gave no remedy."""
    label = "Plan" if note.kind == "plan" else "Fix"
    return f"{label}: {_lower_first(_joined([(piece.text, piece) for piece in _chosen(said)]))}"


def _keep(said: Sequence[Said]) -> str:
    """The thing praised, then what else tells of it."""
    chosen = _chosen(said)
    praised = [piece for piece in chosen if piece.kept] or [piece for piece in said if piece.kept]
    lead = max(praised, key=lambda piece: piece.weight) if praised else None
    if not lead:
        return f"Keep: {_lower_first(_joined([(piece.text, piece) for piece in chosen]))}"
    rest = [(piece.text, piece) for piece in chosen if piece is not lead]
    return f"Keep {_lower_first(_shortened(_joined([(lead.kept or '', lead), *rest])))}"


def _chosen(pieces: Sequence[Said]) -> list[Said]:
    """The pieces that tell most and fit, in spoken order; at least one."""
    chosen: list[Said] = []
    room = ENOUGH_WORDS
    ranked = sorted(pieces, key=lambda piece: -piece.weight)
    for piece in ranked:
        size = len((piece.done or piece.text).split())
        if chosen and (size > room or piece.weight < LIGHT * ranked[0].weight):
            continue
        chosen.append(piece)
        room -= size
    return sorted(chosen, key=lambda piece: piece.place)


def _joined(parts: Sequence[tuple[str, Said]]) -> str:
    """Pieces as one sentence, by the "and" or "then" said between neighbours, else by a semicolon."""
    text, last = _shortened(parts[0][0]), parts[0][1]
    for words, piece in parts[1:]:
        link = f", {piece.link} " if piece.link and piece.place == last.place + 1 else "; "
        text, last = f"{text}{link}{_lower_first(words)}", piece
    return text


def _lower_first(text: str) -> str:
    """A clause without its capital, unless it starts with "I" or a name or number."""
    first = text.split(" ", 1)[0].rstrip(":,")
    return text[0].lower() + text[1:] if re.sub(r"'.*", "", first.lower()) in _SMALL_WORDS else text


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


def _only_one(subject: str, note: About, names: Sequence[str]) -> bool:
    """Whether "he" or "she" can only be this character: there is no other, or the note names this one alone."""
    words = {word.lower() for remark in note.remarks for word in remark.words}
    he, she = bool(words & _HE), bool(words & _SHE)
    title = subject.split(maxsplit=1)[0].lower()
    if (he and she) or (he and title in _HER_TITLES) or (she and title in _HIS_TITLES):
        return False
    known = characters(names)
    by_name = {found.name for remark in note.remarks for found in remark.subjects if found.by_name}
    return known == (subject,) or by_name & set(known) == {subject}


def _named_once(text: str, name: str) -> str:
    """The first "he", "she", "him" or "his" as the name of the one character there is."""
    if name.lower() in text.lower():
        return text
    called = name if name[0].isupper() else f"the {name}"
    return _PERSON.sub(lambda match: f"{called}'s" if match[0].lower() == "his" else called, text, count=1)


def _sentence(text: str) -> str:
    text = re.sub(r"\s+", " ", text).strip(" ,;:-—")
    text = text[0].upper() + text[1:] if text else text
    return text if text.endswith(("?", "…", "!")) else f"{text}."
