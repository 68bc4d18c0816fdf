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
from critsheet.notes.persons import named_once, only_one
from critsheet.notes.phrasings import first_word
from critsheet.notes.pointers import Named, label_lead, meant, named, names_one, topic_of
from critsheet.notes.praise import kept_as_told, of_now, praised
from critsheet.notes.said import LIGHT, MANY, Said, chosen, judged, once, telling
from critsheet.notes.thoughts import is_whole
from critsheet.notes.verbs import FINITE, VERBS, third_person
from critsheet.remedies import without_remedy
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

LESS, _MORE = 0.25, 2
"""The same for what tells more of a thing praised, and how many clauses may."""

CLEAR = 0.5
"""A thought less clear than this tells nothing by itself."""

_LONGEST_LEAD = 8
"""In words: a thing named before what is said of it."""

_TALK = re.compile(
    r"^(?:I|we|if|even|only|that'd|it'd|as|like|let|you can|you could|you do|you'll|you see|is|are|was|"
    r"do|does|did|has|have|can|could|would|wouldn't|isn't|doesn't|didn't|what|who|why|how|where)\b",
    re.IGNORECASE,
)
"""What begins like this is no plain fault."""

_SIZE = 8
"""Words added to the length of a fault when it is weighed, so that the shortest does not always win."""

_OPTIONAL = re.compile(
    r"\b(?:if (?:there's|there is|you've got|you have|you get|you got) (?:the )?(?:any )?time|up to you)\b",
    re.IGNORECASE,
)
_POINTS_FIRST = re.compile(
    r"^(?P<what>it|this|that|they)(?P<rest>(?:'s|'re|'ve)?(?= )(?! \w+(?:'s| is| are)\b).*)$", re.IGNORECASE
)
_OF_THE_NOTE = re.compile(r"^(?:'s| is) (?:\w+ )*(?:thing|nitpick|idea|note|job|trick|way)\b")
_AT_FRAME = re.compile(r"^(?:at|on|from|by|around|about) (?:about |frames? )*\d+(?:(?: to | and |-)\d+)*, ")
_OF_MENTOR = re.compile(r"\b(?:I|I'd|I'm|I've|me|nitpick)\b")
_ORDER = re.compile(
    r"^(?:(?:do|start with|begin with) )?(?:first|first of all)\b,? ?(?P<first>\S.*\bthen\b.*)$", re.IGNORECASE
)


def action(note: About, labels: Labels, frames: Sequence[FrameRange], names: Sequence[str]) -> str:
    """One sentence ending in a full stop, with the frames said; `names` are the shot's characters and props."""
    return _Writer(note, labels, frames, names).action()


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
        called = {found.part: _bare(found.text) for found in reversed(mentions)}
        self.called = {part: name for part, name in called.items() if not name.endswith(("ed", "ing"))}
        self.people = characters(names)
        props = [name for name in names if name not in self.people]
        self.known = Named(self.people, props, tuple(self.called.values()))
        sure = labels.subject and (labels.subject not in self.people or only_one(labels.subject, note, names))
        self.who = labels.subject if sure else None

    def action(self) -> str:
        """The whole sentence."""
        text = self._keep() if self.note.kind == "keep" else self._do() or self._unremedied()
        if self.labels.strength == "could" and not _OPTIONAL.search(text):
            led_by_name = any(text.startswith(name) for name in self.names)
            text = f"If there is time, {text if led_by_name else text[0].lower() + text[1:]}"
        if self.who in self.people and self.who:
            text = named_once(text, self.who, self.names, self.known.parts)
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
        parts = [self.called[part] for part in self.labels.body if part in self.called]
        return label_lead(self.labels.category, self.who, parts, prop=self.who in self.known.props, plural=plural)

    def _do(self) -> str | None:
        """The remedies that tell most, in spoken order, with the fault after a short one."""
        remedies = once([piece for piece in self.said if piece.done])
        if not remedies:
            return None
        plans = self.note.kind == "plan"
        picked = chosen(remedies, MAX_WORDS if plans else ENOUGH_WORDS, MANY + plans)
        wordings = [self._command(piece, first=piece is picked[0]) for piece in picked]
        text = _joined(list(zip(wordings, picked, strict=True)))
        size = len(text.split())
        fault = self._plainest(max(MAX_WORDS - size, FAULT_WORDS), text) if size <= SHORT_WORDS else None
        return f"{text} ({fault})" if fault else text

    def _command(self, piece: Said, *, first: bool) -> str:
        """The command with its "it" named, or with what it is about before it; a later "it" is that of the first."""
        told = [said.text for said in self.said[: piece.place]]
        text, plural = named(piece.done or "", told, self.known)
        if not first or self.note.kind == "plan":
            return piece.done or ""
        if plural is None:
            return text
        return f"{self._lead(plural)}: {text}"

    def _plainest(self, room: int, told: str) -> str | None:
        """The whole thought besides the remedies that tells most in few words, best of what the command names."""
        faults = [
            piece
            for piece in self.said
            if not piece.done
            and piece.clear > CLEAR
            and FEW_WORDS <= len(piece.text.split()) <= room
            and not _TALK.match(piece.text)
            and not _OF_MENTOR.search(piece.text)
            and telling(piece.text) - telling(told)
        ]
        same = {piece.place: bool(telling(piece.text) & telling(told)) for piece in faults}
        best = max(faults, key=lambda piece: (same[piece.place], _worth(piece, 3)), default=None)
        return self._pointed(best, told) if best else None

    def _pointed(self, piece: Said, told: str = "") -> str | None:
        """A thought with its first "it" or "they" named, unless what was told names it; None where it could be
        anything."""
        text = piece.text.rstrip("?")
        match = _POINTS_FIRST.match(text)
        if not match or not (match["rest"][0] == "'" or _is_verb(first_word(match["rest"].strip()))):
            return text
        if _OF_THE_NOTE.search(match["rest"]):
            return None
        plural = match["what"].lower() in {"they", "these", "those"}
        thing = meant([said.text for said in self.said[: piece.place]], self.known, plural=plural)
        near = names_one(told, self.known, plural=plural) and match["what"].lower() in {"it", "they"}
        if near and (not thing or thing.rsplit(" ", 1)[-1] in told):
            return text
        rest = match["rest"].replace("'re", " are", 1).replace("'ve", " have", 1) if plural else match["rest"]
        return f"{thing}{rest}" if thing else None

    def _unremedied(self) -> str:
        """What it is about and the clearest words on it, where the mentor gave no remedy."""
        if self.note.kind == "plan":
            return self._plan()
        best = max(self.said, key=lambda piece: _worth(piece, 2))
        text = _AT_FRAME.sub("", best.text) if self.frames else best.text
        lead, mark, rest = text.partition(": ")
        if mark and len(lead.split()) <= _LONGEST_LEAD:
            return f"fix {lead}: {_shortened(rest, ENOUGH_WORDS)}"
        if found := topic_of(text, self.known):
            return f"fix {found[0]}: {_shortened(found[1], ENOUGH_WORDS)}"
        following = next((piece for piece in self.said if piece.place == best.place + 1), None)
        if following and following.clear >= CLEAR and following.weight > LIGHT * best.weight:
            both = _joined([(text, best), (following.text, following)])
            text = both if len(both.split()) <= ENOUGH_WORDS else text
        return f"fix {_of(self._lead(), _shortened(text, ENOUGH_WORDS))}"

    def _plan(self) -> str:
        """How to go about the work, where it was not put as a command."""
        then = [piece.place for piece in self.said if piece.link == "then"]
        if len(then) > 1:
            steps = [piece for piece in self.said if then[0] - 1 <= piece.place <= then[-1]]
            return f"work in this order: {_shortened(', then '.join(piece.text for piece in steps))}"
        whole = ", ".join(piece.text for piece in chosen(self.said, MAX_WORDS))
        order = _ORDER.match(whole)
        if order or (re.search(r"\bthen\b", whole) and not is_whole(whole)):
            return f"work in this order: {_shortened(order['first'] if order else whole)}"
        return f"plan: {_shortened(whole)}"

    def _keep(self) -> str:
        """The thing praised, then one whole clause that tells of it."""
        lead = max((piece for piece in self.said if piece.kept), key=lambda piece: piece.weight, default=None)
        if lead and lead.kept:
            return f"keep {self._told_more(lead, lead.kept)}"
        named = [(piece, self._pointed(piece) or piece.text.rstrip("?")) for piece in self.said if not piece.done]
        told = [(piece, praised(text) or kept_as_told(text)) for piece, text in named]
        fitting = [(piece, kept) for piece, kept in told if kept]
        if fitting:
            lead, kept = max(
                fitting, key=lambda pair: pair[0].weight * pair[0].clear / (1 + pair[1].startswith("how "))
            )
            return f"keep {self._told_more(lead, kept)}"
        best = max(self.said, key=lambda piece: piece.clear * piece.weight)
        return f"keep {_of(self._lead(), _shortened(best.text.rstrip('?'), ENOUGH_WORDS))}"

    def _told_more(self, lead: Said, kept: str) -> str:
        """What is kept with the clause that tells most of it besides, where it fits."""
        kept = _shortened(kept.rstrip("?"), ENOUGH_WORDS)
        room = MAX_WORDS - len(kept.split())
        rest = [
            (piece, text.rstrip("?"))
            for piece in self.said
            if piece is not lead and not piece.done and piece.clear >= CLEAR and piece.weight > LESS * lead.weight
            if (text := self._pointed(piece, kept)) and of_now(text) and not _TALK.match(text)
            if telling(text) - telling(kept)
        ]
        ranked = sorted(rest, key=lambda pair: -pair[0].clear * pair[0].weight)
        for piece, text in ranked[:_MORE]:
            if len(text.split()) <= room:
                room -= len(text.split())
                follows = piece.place == lead.place + 1 and piece.link == "and" and ": " not in kept
                kept += f"{', and ' if follows else '; ' if ':' in f'{kept}{text}' else ': '}{text}"
        return kept


def _of(lead: str, text: str) -> str:
    """What it is about and what is said of it, which may be no more than its name."""
    return lead if set(text.lower().split()) <= set(lead.lower().split()) else f"{lead}: {text}"


def _worth(piece: Said, power: int) -> float:
    """How much a thought tells for its length; the higher the power, the more telling counts."""
    return piece.clear * piece.weight**power / (len(piece.text.split()) + _SIZE)


def _is_verb(word: str) -> bool:
    return word in FINITE or third_person(word) or word in VERBS


def _bare(part: str) -> str:
    """A body part as it was called, without its owner: "his hand's" gives "hand"."""
    return re.sub(r"^(?:the|his|her|their|its|your|my|that|this|a|an) ", "", part.lower()).removesuffix("'s")


def _joined(parts: Sequence[tuple[str, Said]]) -> str:
    """Pieces as one sentence, by the link said between neighbours, else by a semicolon."""
    text, last = _shortened(parts[0][0]).rstrip("?" if len(parts) > 1 else ""), parts[0][1]
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


def _sentence(text: str) -> str:
    text = text.replace('"', "") if text.count('"') % 2 else text
    text = re.sub(r"\s+", " ", text).strip(" ,;:-—")
    text = text[0].upper() + text[1:] if text else text
    return text if text.endswith(("?", "…", "!")) else f"{text}."
