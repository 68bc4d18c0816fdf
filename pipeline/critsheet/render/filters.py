"""What the notes of a page can be chosen by: only choices that leave some notes out."""

from collections import Counter
from collections.abc import Callable, Iterable, Sequence

from critsheet.render.page_context import Filter, Option
from critsheet.render.texts import Texts
from critsheet.render.words import Group, Numbered, plain


def filters(
    entries: Sequence[Numbered], groups: Sequence[Group], category_name: Callable[[str], str], texts: Texts
) -> tuple[Filter, ...]:
    """The filters by category, subject, body part and priority, each where the notes differ in it."""
    notes = [entry.note for entry in entries]
    choices = {
        "category": _sorted(_options((key for note in notes for key in (note.category, *note.also)), category_name)),
        "subject": _sorted(_options((plain(note.subject) for note in notes if note.subject), str)),
        "part": _sorted(_options((part for note in notes for part in note.body), lambda part: texts(f"body.{part}"))),
        "priority": [Option(group.key, group.title, len(group.notes)) for group in groups],
    }
    return tuple(
        Filter(key, texts(f"find.{key}"), tuple(options))
        for key, options in choices.items()
        if any(option.count < len(notes) for option in options)
    )


def _options(values: Iterable[str], name: Callable[[str], str]) -> list[Option]:
    return [Option(value, name(value), count) for value, count in Counter(values).items() if value]


def _sorted(options: list[Option]) -> list[Option]:
    return sorted(options, key=lambda option: (option.name.casefold(), option.value))
