"""Reads one vocabulary folder: what it says, checked by itself but not yet against other folders.

categories/*.yaml   one category a file
cues.yaml           how mentors praise, ask, take back, order ...
body.yaml           body parts and their names
subjects.yaml       pronouns, words for characters, props, surfaces, loose things, effects
stages.yaml         stages of work
synonyms.yaml       ways of saying one and the same thing, for the search
"""

import hashlib
import re
from collections.abc import Callable, Sequence
from dataclasses import dataclass, field
from pathlib import Path
from typing import get_args

from critsheet.errors import VocabularyError
from critsheet.sheet import BodyPart, Category
from critsheet.vocabulary.clashes import short
from critsheet.vocabulary.model import CATEGORY_FUNCTIONS, Example, Misheard, Phrase, Stage
from critsheet.vocabulary.nodes import Node, Place, read
from critsheet.vocabulary.phrases import SPAN_KINDS, SUBJECT_KINDS, Pattern, PhraseError, Span, compile_phrase
from critsheet.vocabulary.tokens import pieces

CATEGORIES: tuple[str, ...] = get_args(Category)
BODY_PARTS: tuple[str, ...] = get_args(BodyPart)
CUES = (
    "praise", "keep", "problem", "remedy", "reason", "turn", "retraction", "negation", "chatter", "description",
    "others", "signoff", "greeting", "order", "plan", "must", "could", "hedge", "habit", "shot", "repeat_here",
    "repeated", "resolved", "place_start", "place_middle", "place_end", "question",
)  # fmt: skip
TEXTS = ("name", "meaning", "why", "fix", "check")
_PHRASE_LISTS = {"words": "word", "fault": "fault", "remedy": "remedy", "praise": "praise"}
_CATEGORY_KEYS = (
    "id", *TEXTS, "order", "replace", "hints", *_PHRASE_LISTS, "ambiguous", "misheard", "examples",
)  # fmt: skip
_GROUP_NAME = re.compile(r"[a-z][a-z-]{1,39}")
_CONDITION_KEYS = ("phrase", "near", "unless")


@dataclass(frozen=True)
class CategoryPart:
    """What one folder says about one category; texts it leaves out are missing from `texts`."""

    id: str
    place: Place
    texts: dict[str, str]
    order: int | None
    replace: bool
    hints: tuple[str, ...]
    phrases: tuple[Phrase, ...]
    misheard: tuple[Misheard, ...]
    examples: tuple[Example, ...]


@dataclass
class Layer:
    """Everything that one folder says. `digest` is the hash of its files' names and contents."""

    shown: str
    categories: dict[str, CategoryPart] = field(default_factory=dict)
    cues: tuple[Phrase, ...] = ()
    body: tuple[Phrase, ...] = ()
    subjects: tuple[Phrase, ...] = ()
    stages: tuple[Stage, ...] = ()
    synonyms: tuple[Phrase, ...] = ()
    digest: str = ""


def read_layer(folder: Path, shown: str) -> Layer:
    """One folder, read and checked. Raises VocabularyError naming file and line."""
    layer = Layer(shown)
    files = _files(folder, shown)
    for name, path in files.items():
        node = read(path, f"{shown}/{name}")
        if name.startswith("categories/"):
            part = read_category(node)
            if part.id in layer.categories:
                other = layer.categories[part.id].place.file
                part.place.fail(f"category {part.id!r} is already in {other}.", "Join the two files.")
            layer.categories[part.id] = part
        else:
            _SHARED_FILES[name](layer, node)
    digest = hashlib.sha256()
    for name, path in files.items():
        digest.update(f"{name}\0".encode() + hashlib.sha256(path.read_bytes()).digest())
    layer.digest = digest.hexdigest()
    return layer


def _files(folder: Path, shown: str) -> dict[str, Path]:
    """The files to read, by their name inside the folder, in order of name."""
    if not folder.is_dir():
        what = "is a file, not a folder" if folder.exists() else "does not exist"
        raise VocabularyError(f"The vocabulary folder {shown} {what}.", "Check the path given with --vocab.")
    found: dict[str, Path] = {}
    for path in sorted(folder.rglob("*")):
        name = path.relative_to(folder).as_posix()
        if path.is_dir() or any(part.startswith(".") for part in path.relative_to(folder).parts):
            continue
        if path.suffix not in {".yaml", ".yml"}:
            continue  # a readme or a licence may lie beside the files
        if name not in _SHARED_FILES and not (name.startswith("categories/") and name.count("/") == 1):
            raise VocabularyError(
                f"{shown}/{name}:1: not a file that a vocabulary folder holds.",
                f"Use categories/NAME.yaml, {', '.join(_SHARED_FILES)}.",
            )
        found[name] = path
    if not found:
        raise VocabularyError(
            f"The vocabulary folder {shown} holds no vocabulary.",
            f"Put categories/NAME.yaml or {', '.join(_SHARED_FILES)} in it.",
        )
    return found


def read_category(root: Node) -> CategoryPart:
    """What a category file says. Raises VocabularyError."""
    entries = root.entries("a category file", _CATEGORY_KEYS)
    if "id" not in entries:
        root.place.fail("the category has no id.", f"Add for example 'id: contact'; one of {', '.join(CATEGORIES)}.")
    place, category = entries["id"].place, _one_of(entries["id"], "id", CATEGORIES)
    phrases = [
        _phrase(node, category, function)
        for key, function in _PHRASE_LISTS.items()
        if key in entries
        for node in entries[key].items(key)
    ]
    if "ambiguous" in entries:
        phrases += [_ambiguous(node, category) for node in entries["ambiguous"].items("ambiguous")]
    _refuse_repeats(phrases)
    return CategoryPart(
        id=category,
        place=place,
        texts={key: entries[key].text(key) for key in TEXTS if key in entries},
        order=entries["order"].number("order") if "order" in entries else None,
        replace="replace" in entries and entries["replace"].flag("replace"),
        hints=tuple(node.text("a hint") for node in entries["hints"].items("hints")) if "hints" in entries else (),
        phrases=tuple(phrases),
        misheard=tuple(_misheard(node, category) for node in entries["misheard"].items("misheard"))
        if "misheard" in entries
        else (),
        examples=_examples(entries["examples"], category) if "examples" in entries else (),
    )


def _ambiguous(node: Node, category: str) -> Phrase:
    entries = node.entries("an ambiguous phrase", ("phrase", "function", "near", "unless"))
    if "phrase" not in entries or not ({"near", "unless"} & set(entries)):
        node.place.fail("an ambiguous phrase needs 'phrase' and 'near' or 'unless'.", "Add the words that decide it.")
    function = _one_of(entries["function"], "function", CATEGORY_FUNCTIONS) if "function" in entries else "word"
    return _conditional(node, entries, category, function)


def _phrase(node: Node, category: str | None, function: str) -> Phrase:
    """A phrase given as text, or as a mapping with the words that decide it."""
    if node.is_mapping:
        entries = node.entries("a phrase", _CONDITION_KEYS)
        if "phrase" not in entries:
            node.place.fail("the entry has no 'phrase'.", "Add 'phrase: ...'.")
        return _conditional(node, entries, category, function)
    return _conditional(node, {"phrase": node}, category, function)


def _conditional(node: Node, entries: dict[str, Node], category: str | None, function: str) -> Phrase:
    text = entries["phrase"].text("a phrase")
    pattern = _compiled(entries["phrase"])
    return Phrase(
        id=f"{category or 'cue'}/{function}: {text}",
        category=category,
        function=function,
        text=text,
        pattern=pattern,
        near=_patterns(entries, "near"),
        unless=_patterns(entries, "unless"),
        file=node.place.file,
        line=entries["phrase"].place.line,
    )


def _patterns(entries: dict[str, Node], key: str) -> tuple[Pattern, ...]:
    return tuple(_compiled(node) for node in entries[key].items(key)) if key in entries else ()


def _compiled(node: Node) -> Pattern:
    text = node.text("a phrase")
    try:
        pattern = compile_phrase(text)
    except PhraseError as error:
        node.place.fail(
            f"the phrase {short(text)!r} cannot be used: {error}.", "'critsheet vocab --help' explains phrases."
        )
    for item in {item for sequence in pattern.sequences for item in sequence if isinstance(item, Span)}:
        if item.kind not in SPAN_KINDS and item.kind not in BODY_PARTS:
            node.place.fail(
                f"the phrase {short(text)!r} would match nothing: '~{item.kind}' is unknown.",
                f"Use ~, {', '.join('~' + kind for kind in (*SPAN_KINDS[1:], *BODY_PARTS) if kind != 'number')}.",
            )
    return pattern


def _misheard(node: Node, category: str) -> Misheard:
    entries = node.entries("a misheard term", ("heard", "meant", "near"))
    for key in ("heard", "meant"):
        if key not in entries:
            node.place.fail(f"the misheard term has no {key!r}.", 'Write {heard: "arks|arts", meant: arcs}.')
    meant = entries["meant"].text("meant")
    heard = tuple(pieces_of(form) for form in entries["heard"].text("heard").split("|"))
    if not all(heard) or pieces_of(meant) in heard:
        node.place.fail(f"one of the forms heard for {meant!r} is empty or the term itself.", "Remove it.")
    near = _patterns(entries, "near")
    return Misheard(f"{category}/misheard: {meant}", category, heard, meant, near, node.place.file, node.place.line)


def pieces_of(text: str) -> tuple[str, ...]:
    """The comparable parts of a text of several words."""
    return tuple(piece for word in text.split() for piece in pieces(word))


def _examples(node: Node, category: str) -> tuple[Example, ...]:
    entries = node.entries("examples", ("match", "no_match"))
    return tuple(
        Example(category, item.text("an example"), key == "match", item.place.file, item.place.line)
        for key, values in entries.items()
        for item in values.items(key)
    )


def _cues(layer: Layer, root: Node) -> None:
    layer.cues = _named_phrases(root, "cues.yaml", CUES)


def _body(layer: Layer, root: Node) -> None:
    layer.body = _named_phrases(root, "body.yaml", BODY_PARTS)


def _subjects(layer: Layer, root: Node) -> None:
    layer.subjects = _named_phrases(root, "subjects.yaml", SUBJECT_KINDS)


def _synonyms(layer: Layer, root: Node) -> None:
    groups = root.entries("synonyms.yaml")
    for name, node in groups.items():
        if not _GROUP_NAME.fullmatch(name):
            node.place.fail(f"{name!r} is not a name for a group.", "Use small letters and dashes: foot-slide.")
    layer.synonyms = _named_phrases(root, "synonyms.yaml", tuple(groups))


def _named_phrases(root: Node, what: str, names: tuple[str, ...]) -> tuple[Phrase, ...]:
    entries = root.entries(what, names)
    phrases = [_phrase(node, None, name) for name, values in entries.items() for node in values.items(name)]
    _refuse_repeats(phrases)
    return tuple(phrases)


def _stages(layer: Layer, root: Node) -> None:
    keys = ("id", "name", "settle", "premature", "phrases")
    stages: list[Stage] = []
    for order, node in enumerate(root.items("stages.yaml"), start=1):
        entries = node.entries("a stage", keys)
        for key in keys:
            if key not in entries:
                node.place.fail(f"the stage has no {key!r}.", f"A stage has {', '.join(keys)}.")
        stage = entries["id"].text("id")
        if any(stage == other.id for other in stages):
            node.place.fail(f"stage {stage!r} is given twice.", "Join the two entries.")
        settle, premature = (
            tuple(_one_of(item, key, CATEGORIES) for item in entries[key].items(key)) for key in ("settle", "premature")
        )
        phrases = tuple(_phrase(item, None, "stage") for item in entries["phrases"].items("phrases"))
        stages.append(Stage(stage, entries["name"].text("name"), order, settle, premature, phrases))
    layer.stages = tuple(stages)


def _one_of(node: Node, what: str, choices: Sequence[str]) -> str:
    written = node.text(what)
    if written not in choices:
        node.place.fail(f"{what} {written!r} is not known.", f"Use one of {', '.join(choices)}.")
    return written


def _refuse_repeats(phrases: Sequence[Phrase]) -> None:
    seen: dict[str, int] = {}
    for phrase in phrases:
        if phrase.id in seen:
            Place(phrase.file, phrase.line).fail(
                f"the phrase {short(phrase.text)!r} is already on line {seen[phrase.id]}.", "Remove one of the two."
            )
        seen[phrase.id] = phrase.line


_SHARED_FILES: dict[str, Callable[[Layer, Node], None]] = {
    "cues.yaml": _cues,
    "body.yaml": _body,
    "subjects.yaml": _subjects,
    "stages.yaml": _stages,
    "synonyms.yaml": _synonyms,
}
