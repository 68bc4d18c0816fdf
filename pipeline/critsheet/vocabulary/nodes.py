"""YAML read with the line of every value, so that each mistake is shown where it stands.

Scalars are always taken as the text that was written: `no` stays "no" and `~` stays "~".
"""

from dataclasses import dataclass
from pathlib import Path
from typing import NoReturn

import yaml

from critsheet.errors import VocabularyError

MAX_FILE_BYTES = 2_000_000
"""A category file of a thousand phrases takes about 50 kB."""

_Loader = getattr(yaml, "CSafeLoader", yaml.SafeLoader)


@dataclass(frozen=True)
class Place:
    """A file and a line in it, as errors name it."""

    file: str
    line: int

    def fail(self, what: str, hint: str) -> NoReturn:
        """Raises VocabularyError for this place."""
        raise VocabularyError(f"{self.file}:{self.line}: {what}", hint)


@dataclass(frozen=True)
class Node:
    """One YAML value with its place."""

    place: Place
    raw: yaml.Node

    def text(self, what: str) -> str:
        """The value as text, spaces tidied. Fails unless it is a single, non-empty text."""
        if not isinstance(self.raw, yaml.ScalarNode) or not str(self.raw.value).strip():
            self.place.fail(f"{what} should be a text.", "Write one text after the colon, in quotes if it holds ': '.")
        return " ".join(str(self.raw.value).split())

    def number(self, what: str) -> int:
        """The value as a whole number."""
        written = self.text(what)
        if not written.isdigit():
            self.place.fail(f"{what} should be a whole number, not {written!r}.", "Write for example 3.")
        return int(written)

    def flag(self, what: str) -> bool:
        """The value as true or false."""
        written = self.text(what).lower()
        if written not in {"true", "false"}:
            self.place.fail(f"{what} should be true or false, not {written!r}.", "Write true, or leave the line out.")
        return written == "true"

    def items(self, what: str) -> list["Node"]:
        """The entries of a list. Fails unless it is one."""
        if isinstance(self.raw, yaml.ScalarNode) and not self.raw.value:
            return []
        if not isinstance(self.raw, yaml.SequenceNode):
            self.place.fail(f"{what} should be a list.", "Put each entry on a line of its own after a dash.")
        return [self._child(child) for child in self.raw.value]

    def entries(self, what: str, allowed: tuple[str, ...] | None = None) -> dict[str, "Node"]:
        """The named values of a mapping. Fails on a name that is given twice or not allowed."""
        if not isinstance(self.raw, yaml.MappingNode):
            self.place.fail(f"{what} should hold 'name: value' lines.", f"Names here: {_listed(allowed)}.")
        found: dict[str, Node] = {}
        for key, value in self.raw.value:
            name, place = str(key.value), Place(self.place.file, key.start_mark.line + 1)
            if allowed is not None and name not in allowed:
                place.fail(f"unknown name {name!r} in {what}.", f"Names here: {_listed(allowed)}.")
            if name in found:
                place.fail(
                    f"{name!r} is given twice in {what}.", f"Join it with the one on line {found[name].place.line}."
                )
            found[name] = Node(Place(self.place.file, value.start_mark.line + 1), value)
        return found

    @property
    def is_mapping(self) -> bool:
        """Whether the value holds named values."""
        return isinstance(self.raw, yaml.MappingNode)

    def _child(self, raw: yaml.Node) -> "Node":
        return Node(Place(self.place.file, raw.start_mark.line + 1), raw)


def read(path: Path, shown: str) -> Node:
    """The document in a YAML file; `shown` is how errors name the file. Raises VocabularyError."""
    start = Place(shown, 1)
    try:
        data = path.read_bytes()
    except OSError as error:
        start.fail(f"cannot be read: {error.strerror or error}.", "Check the file and its permissions.")
    if len(data) > MAX_FILE_BYTES:
        start.fail("is too large for a vocabulary file.", "Split it, or choose the right file.")
    try:
        root = yaml.compose(data.decode("utf-8-sig"), Loader=_Loader)
    except UnicodeDecodeError:
        start.fail("is not UTF-8 text.", "Save it as UTF-8 in your editor.")
    except yaml.MarkedYAMLError as error:
        unclosed = "end of stream" in (error.problem or "")  # what was left open began at the context
        mark = (error.context_mark if unclosed else None) or error.problem_mark or error.context_mark
        Place(shown, mark.line + 1 if mark else 1).fail(
            f"is not well-formed YAML: {error.problem or error.context}.",
            "Check quotes, colons and that lists line up; a phrase that starts with ! or holds ': ' needs quotes.",
        )
    except (yaml.YAMLError, RecursionError):
        start.fail("is not well-formed YAML.", "Save it again as plain text from your editor.")
    if root is None:
        start.fail("is empty.", "Write at least one entry, or delete the file.")
    _refuse_references(root, shown)
    return Node(start, root)


def _refuse_references(root: yaml.Node, shown: str) -> None:
    """Fails on YAML anchors and aliases: a vocabulary needs none, and nested ones can fill the memory."""
    seen: set[int] = set()
    waiting = [root]
    while waiting:
        node = waiting.pop()
        if id(node) in seen:
            Place(shown, node.start_mark.line + 1).fail(
                "a value is used twice through '*'.", "Write it out in both places."
            )
        seen.add(id(node))
        if isinstance(node, yaml.SequenceNode):
            waiting.extend(node.value)
        elif isinstance(node, yaml.MappingNode):
            waiting.extend(part for pair in node.value for part in pair)


def _listed(names: tuple[str, ...] | None) -> str:
    return ", ".join(names) if names else "see the shipped files"
