"""The action of a note: one sentence a student can act on, made only of what was said.

A remedy becomes a command; "it" and "them" get the noun they stand for, and a short remedy has the fault added, so
that nobody has to guess what it is about. A fault without a remedy stays a fault: "Fix", what it is about, and the
mentor's clearest words.
"""

import re
from collections.abc import Sequence

from critsheet.language.subjects import characters
from critsheet.notes.about import About
from critsheet.notes.labels import Labels
from critsheet.notes.pointers import label_lead, named, topic_of
from critsheet.notes.praise import kept_as_told
from critsheet.notes.said import Said, judged
from critsheet.notes.thoughts import is_whole
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

MANY = 3
"""Commands in one action; more are hard to hold."""

CLEAR = 0.5
"""A thought less clear than this tells nothing by itself."""

_SIZE = 8
"""Words added to the length of a fault when it is weighed, so that the shortest does not always win."""

_WITHOUT_REMEDY = re.compile(r"^(?:If there is time, f|F)ix [^:;(]+: ")
_OPTIONAL = re.compile(
    r"\b(?:if (?:there's|there is|you've got|you have|you get|you got) (?:the )?(?:any )?time|up to you)\b",
    re.IGNORECASE,
)
_HE, _SHE = frozenset("he him his he's he'd himself".split()), frozenset("she her hers she's she'd herself".split())
_HER_TITLES, _HIS_TITLES = frozenset("mrs miss ms madame lady".split()), frozenset("mr sir lord uncle".split())
_PERSON = re.compile(r"(?<!whose )(?<!whose weight's )\b(?:he|she|him|his|her(?= [a-z]))\b", re.IGNORECASE)
_ORDER = re.compile(r"^(?:(?:do|start with|begin with) )?(?:first|first of all)\b,? ?(?P<first>\S.*\bthen\b.*)$", re.IGNORECASE)


def action(note: About, labels: Labels, frames: Sequence[FrameRange], names: Sequence[str]) -> str:
    """One sentence ending in a full stop, with the frames said; `names` are the shot's characters and props."""
    return _Writer(note, labels, frames, names).action()


def without_remedy(action: str) -> bool:
    """Whether an action only names a fault, since the mentor gave no remedy."""
    return bool(_WITHOUT_REMEDY.match(action))


def at_frames(frames: Sequence[FrameRange]) -> str:
    """Frames in words: "at 42", "from 40 to 58", "at 18 and 70"."""
    parts = [f"{f.first}" if f.first == f.last else f"{f.first}–{f.last}" for f in frames]
    if len(parts) > 1:
        return f"at {', '.join(parts[:-1])} and {parts[-1]}"
    return f"at {parts[0]}" if frames[0].first == frames[0].last else f"from {frames[0].first} to {frames[0].last}"


class _Writer:
    """Words one note."""

    def __init__(self, note: About, labels: Labels, frames: Sequence[FrameRange], names: Sequence[str]) -> None:
        self.note, self.labels, self.frames, self.names = note, labels, frames, names
        self.said = judged(note)
        mentions = [found for remark in note.remarks for found in remark.body]
        self.called = {found.part: found.text.lower() for found in reversed(mentions)}
        self.people = characters(names)
        sure = labels.subject and (labels.subject not in self.people or _only_one(labels.subject, note, names))
        self.who = labels.subject if sure else None

    def action(self) -> str:
        """The whole sentence."""
        text = self._keep() if self.note.kind == "keep" else self._do() or self._unremedied()
        if self.labels.strength == "could" and not _OPTIONAL.search(text):
            text = f"If there is time, {text[0].lower()}{text[1:]}"
        if self.who in self.people and self.who:
            text = _named_once(text, self.who, self.names)
        return _sentence(self._with_frames(text))

    def _with_frames(self, text: str) -> str:
        if not self.frames or any(re.search(rf"\b(?:{f.first}|{f.last})\b", text) for f in self.frames):
            return text
        at = at_frames(self.frames)
        if without_remedy(f"{text[0].upper()}{text[1:]} "):
            lead, _, rest = text.partition(":")
            return f"{lead} {at}:{rest}"
        command, bracket, fault = text.partition(" (")
        return f"{command}, {at}{bracket}{fault}"

    def _lead(self, plural: bool | None = None) -> str:
        parts = {part: self.called[part] for part in self.labels.body if part in self.called}
        return label_lead(self.labels.category, self.who, parts, plural)

    def _do(self) -> str | None:
        """The remedies that tell most, in spoken order, with the fault after a short one."""
        remedies = _once([piece for piece in self.said if piece.done])
        if not remedies:
            return None
        chosen = _chosen(remedies, MAX_WORDS if self.note.kind == "plan" else ENOUGH_WORDS)
        wordings = [self._command(piece) for piece in chosen]
        text = _joined(list(zip(wordings, chosen, strict=True)))
        size = len(text.split())
        fault = self._plainest(max(MAX_WORDS - size, FAULT_WORDS)) if size <= SHORT_WORDS else None
        return f"{text} ({fault})" if fault and self.note.kind == "fix" else text

    def _command(self, piece: Said) -> str:
        """The command with its "it" named, or with what it is about before it."""
        told = [said.text for said in self.said[: piece.place]]
        text, plural = named(piece.done or "", told, self.people, tuple(self.called.values()))
        if plural is None or self.note.kind == "plan":
            return text
        return f"{self._lead(plural)}: {text}"

    def _plainest(self, room: int) -> str | None:
        """The whole thought besides the remedies that tells most in few words, if one fits."""
        faults = [
            piece
            for piece in self.said
            if not piece.done and piece.clear > CLEAR and FEW_WORDS <= len(piece.text.split()) <= room
        ]
        best = max(faults, key=lambda piece: piece.clear * piece.weight**3 / (len(piece.text.split()) + _SIZE), default=None)
        return best.text.rstrip("?") if best else None

    def _unremedied(self) -> str:
        """What it is about and the clearest words on it, where the mentor gave no remedy."""
        if self.note.kind == "plan":
            return self._plan()
        best = max(self.said, key=lambda piece: piece.clear * piece.weight / (len(piece.text.split()) + _SIZE))
        text = best.text
        if found := topic_of(text, tuple(self.called.values())):
            return f"fix {found[0]}: {_shortened(found[1], ENOUGH_WORDS)}"
        following = next((piece for piece in self.said if piece.place == best.place + 1), None)
        if following and following.clear > CLEAR and following.weight > LIGHT * best.weight:
            both = _joined([(text, best), (following.text, following)])
            text = both if len(both.split()) <= ENOUGH_WORDS else text
        return f"fix {self._lead()}: {_shortened(text, ENOUGH_WORDS)}"

    def _plan(self) -> str:
        """How to go about the work, where it was not put as a command."""
        whole = ", ".join(piece.text for piece in _chosen(self.said, MAX_WORDS))
        if order := _ORDER.match(whole):
            return f"work in this order: {_shortened(order['first'])}"
        if re.search(r"\bthen\b", whole) and not is_whole(whole):
            return f"work in this order: {_shortened(whole)}"
        return f"plan: {_shortened(whole)}"

    def _keep(self) -> str:
        """The thing praised, then one whole clause that tells of it."""
        praised = [piece for piece in self.said if piece.kept]
        lead = max(praised, key=lambda piece: piece.weight, default=None)
        if lead and lead.kept:
            return f"keep {self._told_more(lead, lead.kept)}"
        told = [(piece, kept_as_told(piece.text.rstrip("?"))) for piece in self.said if not piece.done]
        fitting = [(piece, kept) for piece, kept in told if kept]
        if fitting:
            piece, kept = max(fitting, key=lambda pair: pair[0].weight * pair[0].clear)
            return f"keep {_shortened(kept, ENOUGH_WORDS)}"
        best = max(self.said, key=lambda piece: piece.clear * piece.weight)
        return f"keep {self._lead()}: {_shortened(best.text.rstrip('?'), ENOUGH_WORDS)}"

    def _told_more(self, lead: Said, kept: str) -> str:
        kept = _shortened(kept.rstrip("?"), ENOUGH_WORDS)
        room = ENOUGH_WORDS - len(kept.split())
        rest = [
            piece
            for piece in self.said
            if piece is not lead
            and not piece.done
            and piece.clear > CLEAR
            and piece.weight > LIGHT * lead.weight
            and len(piece.text.split()) <= room
        ]
        best = max(rest, key=lambda piece: piece.clear * piece.weight, default=None)
        return f"{kept}: {best.text}" if best else kept


def _once(pieces: Sequence[Said]) -> list[Said]:
    """The pieces without commands that only say again what another one says more fully."""
    words = {piece.place: set((piece.done or "").lower().split()) for piece in pieces}
    kept: list[Said] = []
    for piece in sorted(pieces, key=lambda piece: -len(words[piece.place])):
        if not any(words[piece.place] <= words[other.place] for other in kept):
            kept.append(piece)
    return sorted(kept, key=lambda piece: piece.place)


def _chosen(pieces: Sequence[Said], room: int) -> list[Said]:
    """The pieces that tell most and fit, in spoken order; at least one."""
    chosen: list[Said] = []
    ranked = sorted(pieces, key=lambda piece: -piece.weight)
    for piece in ranked:
        size = len((piece.done or piece.text).split())
        if chosen and (size > room or piece.weight < LIGHT * ranked[0].weight or len(chosen) == MANY):
            continue
        chosen.append(piece)
        room -= size
    return sorted(chosen, key=lambda piece: piece.place)


def _joined(parts: Sequence[tuple[str, Said]]) -> str:
    """Pieces as one sentence, by the link said between neighbours, else by a semicolon."""
    text, last = _shortened(parts[0][0]), parts[0][1]
    for words, piece in parts[1:]:
        link = f", {piece.link} " if piece.link and piece.place == last.place + 1 else "; "
        text, last = f"{text}{link}{words}", piece
    return text


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


def _named_once(text: str, name: str, names: Sequence[str]) -> str:
    """The first "he", "she", "him" or "his" as the name of the one character there is, unless somebody is named."""
    match = _PERSON.search(text)
    before = text[: match.start()].lower() if match else ""
    if not match or any(other.lower() in before for other in names) or name.lower() in text.lower():
        return text
    called = name if name[0].isupper() else f"the {name}"
    owns = match[0].lower() == "his" or (match[0].lower() == "her" and not text[match.end() :].startswith((" to ", " a ")))
    return f"{text[: match.start()]}{called}{chr(39) + 's' if owns else ''}{text[match.end() :]}"


def _sentence(text: str) -> str:
    text = re.sub(r"\s+", " ", text).strip(" ,;:-—")
    text = text[0].upper() + text[1:] if text else text
    return text if text.endswith(("?", "…", "!")) else f"{text}."
