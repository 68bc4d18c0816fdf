"""The sheet's own texts in one catalogue a language: `templates/texts/en.yaml`, `de.yaml`, and a school's own.

English is complete and says which texts there are. Another language, or a school's file of the same name, may leave
texts out: they are then those of the file below it, and of English at last. Each text may use the {names} of its
English one, and no others.
"""

import re
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from functools import lru_cache
from pathlib import Path

from critsheet import resources
from critsheet.errors import InputError, TemplateError, VocabularyError
from critsheet.vocabulary.nodes import Node, read

ENGLISH = "en"
FOLDER = "texts"
_CATEGORY = re.compile(r"category\.[a-z]+\.(?:name|meaning|why|remedy|check)")
"""Texts that English has in the vocabulary instead: what a category means, for readers of another language."""
_NAMES = re.compile(r"\{(\w+)\}")
_FRAMES = re.compile(r"frame(s?) (\d[\d–, ]*)")
_CODE = re.compile(r"[a-z]{2,3}(?:-[A-Za-z0-9]{2,8})*")
"""A language tag of BCP 47, as far as languages of sheets need it."""


@dataclass(frozen=True)
class Texts:
    """The texts of one language by their dotted names, "letter.kept"."""

    language: str
    entries: Mapping[str, str]

    def __call__(self, key: str, /, **values: object) -> str:
        """The text with its {names} filled in."""
        return self.entries[key].format_map(values)

    def count(self, key: str, n: int, /, **values: object) -> str:
        """The text for one or for several, as `n` asks; {n} in it is the number."""
        return self(f"{key}.{'one' if n == 1 else 'other'}", n=n, **values)

    def raw(self, key: str) -> str:
        """The text with its {names} as they are, for a script to fill in."""
        return self.entries[key]

    def of_category(self, category: str, what: str) -> str | None:
        """What this language says of a category (name, meaning, why, remedy, check); None where the vocabulary does."""
        return self.entries.get(f"category.{category}.{what}")

    def listed(self, items: Iterable[str]) -> str:
        """The items as prose: "a", "a and b", "a, b and c"."""
        *most, last = list(items) or [""]
        return self("list.and", first=", ".join(most), last=last) if most else last

    def said_by_program(self, text: str) -> str:
        """A reason or doubt that the program wrote in English, in this language; unchanged where it is not known."""
        if self.language == ENGLISH:
            return text
        for key, pattern in _sayings():
            if match := pattern.fullmatch(text):
                return self(key, **{name: self._value(name, value) for name, value in match.groupdict().items()})
        return text

    def _value(self, name: str, value: str) -> str:
        if name in ("category", "other"):
            return self.of_category(value, "name") or value
        if frames := _FRAMES.fullmatch(value):
            return self(f"frames.{'other' if frames[1] else 'one'}", spans=frames[2])
        return value


def languages(school: Path | None = None) -> tuple[str, ...]:
    """The languages that a sheet can be in, sorted by their codes."""
    files = [path for folder in _folders(school) for path in folder.glob("*.yaml")]
    return tuple(sorted({path.stem for path in files if _CODE.fullmatch(path.stem)}))


def texts(language: str = ENGLISH, school: Path | None = None) -> Texts:
    """The texts of `language`, a school's own laid over those that come with Critsheet.

    Raises InputError for a language without a file, TemplateError (file and line) for a mistake in one.
    """
    if language not in languages(school):
        known = ", ".join(languages(school))
        raise InputError(
            f"There are no texts in the language {language!r}.",
            f"Choose {known}, or give --templates with texts/{language}.yaml in it.",
        )
    entries = {**_shipped(ENGLISH), **_shipped(language)}
    own = school / FOLDER / f"{language}.yaml" if school else None
    if own and own.is_file():
        entries.update(_read(own, str(own), _shipped(ENGLISH)))
    return Texts(language, entries)


@lru_cache(maxsize=1)
def english() -> Texts:
    """The texts that formats use which are always in English."""
    return texts()


def _folders(school: Path | None) -> list[Path]:
    return [resources.folder("templates") / FOLDER, *([school / FOLDER] if school else [])]


@lru_cache(maxsize=16)
def _shipped(language: str) -> Mapping[str, str]:
    path = resources.folder("templates") / FOLDER / f"{language}.yaml"
    if not path.is_file():
        return {}
    return _read(path, f"templates/{FOLDER}/{path.name}", None if language == ENGLISH else _shipped(ENGLISH))


def _read(path: Path, shown: str, known: Mapping[str, str] | None) -> dict[str, str]:
    """The texts of a file, flat; `known` are the English ones that it may replace, None for those themselves."""
    try:
        found = dict(_flat(read(path, shown), ""))
        if known is not None:
            for key, node in found.items():
                _check(key, node, known)
        return {key: node.text(key) for key, node in found.items()}
    except VocabularyError as error:
        raise TemplateError(error.what, error.hint) from error


def _flat(node: Node, name: str) -> Iterable[tuple[str, Node]]:
    for key, value in node.entries(name or "the texts").items():
        full = f"{name}.{key}" if name else key
        yield from _flat(value, full) if value.is_mapping else [(full, value)]


def _check(key: str, node: Node, known: Mapping[str, str]) -> None:
    if _CATEGORY.fullmatch(key):
        return
    if key not in known:
        node.place.fail(f"there is no text named {key!r}.", f"Did you mean {_nearest(key, list(known))!r}?")
    allowed, used = set(_NAMES.findall(known[key])), set(_NAMES.findall(node.text(key)))
    odd = used - allowed
    rest = _NAMES.sub("", node.text(key))
    if odd or "{" in rest or "}" in rest:
        names = ", ".join(f"{{{name}}}" for name in sorted(allowed)) or "none"
        what = f"{{{min(odd)}}}" if odd else "a brace that stands alone"
        node.place.fail(f"{key!r} uses {what}.", f"Names that this text may use: {names}.")


def _nearest(key: str, known: Sequence[str]) -> str:
    from rapidfuzz import process

    return str(process.extractOne(key, known)[0])


@lru_cache(maxsize=1)
def _sayings() -> tuple[tuple[str, re.Pattern[str]], ...]:
    """How each thing the program says of a note reads in English, the most exact first."""
    found = []
    for key, text in _shipped(ENGLISH).items():
        if key.startswith("program."):
            parts = [
                re.escape(part) if place % 2 == 0 else f"(?P<{part}>.+?)"
                for place, part in enumerate(_NAMES.split(text))
            ]
            found.append((key, len(_NAMES.sub("", text)), re.compile("".join(parts))))
    return tuple((key, pattern) for key, _, pattern in sorted(found, key=lambda item: (-item[1], item[0])))
