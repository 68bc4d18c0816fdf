"""Reads one vocabulary folder: what it says, checked by itself but not yet against other folders.

categories/*.yaml   one category a file
cues.yaml           how mentors praise, ask, take back, order ...
body.yaml           body parts and their names
subjects.yaml       pronouns, words for characters, props, surfaces, loose things, effects
stages.yaml         stages of work
synonyms.yaml       ways of saying one and the same thing, for the search
"""

import hashlib
from collections.abc import Callable
from dataclasses import dataclass, field
from pathlib import Path

from critsheet.errors import VocabularyError
from critsheet.vocabulary.entries import (
    BODY_PARTS,
    CATEGORIES,
    one_of,
    read_conditional,
    read_examples,
    read_misheard,
    read_phrase,
    refuse_repeats,
)
from critsheet.vocabulary.model import CATEGORY_FUNCTIONS, Example, Misheard, Phrase, Stage
from critsheet.vocabulary.nodes import Node, Place, read
from critsheet.vocabulary.phrases import SUBJECT_KINDS
from critsheet.vocabulary.synonyms import SynonymPart, read_synonyms

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
    synonyms: tuple[SynonymPart, ...] = ()
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
    place, category = entries["id"].place, one_of(entries["id"], "id", CATEGORIES)
    phrases = [
        read_phrase(node, category, function)
        for key, function in _PHRASE_LISTS.items()
        if key in entries
        for node in entries[key].items(key)
    ]
    if "ambiguous" in entries:
        phrases += [_ambiguous(node, category) for node in entries["ambiguous"].items("ambiguous")]
    refuse_repeats(phrases)
    return CategoryPart(
        id=category,
        place=place,
        texts={key: entries[key].text(key) for key in TEXTS if key in entries},
        order=entries["order"].number("order") if "order" in entries else None,
        replace="replace" in entries and entries["replace"].flag("replace"),
        hints=tuple(node.text("a hint") for node in entries["hints"].items("hints")) if "hints" in entries else (),
        phrases=tuple(phrases),
        misheard=tuple(read_misheard(node, category) for node in entries["misheard"].items("misheard"))
        if "misheard" in entries
        else (),
        examples=read_examples(entries["examples"], category) if "examples" in entries else (),
    )


def _ambiguous(node: Node, category: str) -> Phrase:
    entries = node.entries("an ambiguous phrase", ("phrase", "function", "near", "unless"))
    if "phrase" not in entries or not ({"near", "unless"} & set(entries)):
        node.place.fail("an ambiguous phrase needs 'phrase' and 'near' or 'unless'.", "Add the words that decide it.")
    function = one_of(entries["function"], "function", CATEGORY_FUNCTIONS) if "function" in entries else "word"
    return read_conditional(node, entries, category, function)


def _cues(layer: Layer, root: Node) -> None:
    layer.cues = _named_phrases(root, "cues.yaml", CUES)


def _body(layer: Layer, root: Node) -> None:
    layer.body = _named_phrases(root, "body.yaml", BODY_PARTS)


def _subjects(layer: Layer, root: Node) -> None:
    layer.subjects = _named_phrases(root, "subjects.yaml", SUBJECT_KINDS)


def _synonyms(layer: Layer, root: Node) -> None:
    layer.synonyms = read_synonyms(root)


def _named_phrases(root: Node, what: str, names: tuple[str, ...]) -> tuple[Phrase, ...]:
    entries = root.entries(what, names)
    phrases = [read_phrase(node, None, name) for name, values in entries.items() for node in values.items(name)]
    refuse_repeats(phrases)
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
            tuple(one_of(item, key, CATEGORIES) for item in entries[key].items(key)) for key in ("settle", "premature")
        )
        phrases = tuple(read_phrase(item, None, "stage") for item in entries["phrases"].items("phrases"))
        stages.append(Stage(stage, entries["name"].text("name"), order, settle, premature, phrases))
    layer.stages = tuple(stages)


_SHARED_FILES: dict[str, Callable[[Layer, Node], None]] = {
    "cues.yaml": _cues,
    "body.yaml": _body,
    "subjects.yaml": _subjects,
    "stages.yaml": _stages,
    "synonyms.yaml": _synonyms,
}
