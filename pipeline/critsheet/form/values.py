"""The values typed under a note, as the sheet has them."""

import re
from collections.abc import Sequence
from typing import Any

from critsheet.corrections import Span
from critsheet.errors import InputError
from critsheet.form.reading import Typed
from critsheet.render.words import plain

MAX_FRAME = 9_999_999
"""Over four days at 24 frames a second: anything above is a slip of the finger."""

_SPAN = re.compile(r"(about\s+)?(\d{1,9})(?:\s*[-–]\s*(\d{1,9}))?", re.IGNORECASE)
_SINGLE = {"who": "subject", "asked before": "followup", "place": "place"}
"""Labels of one value, by their names in the form."""


def listed(typed: Sequence[Typed]) -> tuple[str, ...]:
    """What stands between the commas, each once, in small letters."""
    parts = (part.strip().lower() for one in typed for part in one.text.split(","))
    return tuple(dict.fromkeys(part for part in parts if part))


def labels_of(name: str, typed: Sequence[Typed]) -> dict[str, Any]:
    """The labels that the lines of this name set, by their names in the sheet; nothing typed takes them away."""
    values = listed(typed)
    if name == "category":
        if not values:
            raise InputError("This note has no category: put the line “- category: ...” back.")
        return {"category": values[0], "also": values[1:]}
    if name == "not sure":
        return {"doubts": tuple(one.text for one in typed)}
    if name == "body":
        return {"body": values}
    if name == "scope":
        return {"scope": ", ".join(values) or "moment"}
    text = ", ".join(one.text for one in typed)
    return {_SINGLE[name]: (text if name == "who" else text.lower()) or None}


def spans(typed: Sequence[Typed]) -> tuple[Span, ...]:
    """The frames that were typed. Raises InputError where a part is none."""
    found = []
    for part in (part.strip() for one in typed for part in one.text.split(",")):
        match = _SPAN.fullmatch(part)
        if match and max(int(match[2]), int(match[3] or 0)) <= MAX_FRAME:
            found.append((int(match[2]), int(match[3] or match[2]), bool(match[1])))
        elif part:
            raise InputError(f"“{plain(part)[:60]}” is no frame: write 42, 130-138 or about 150.")
    return tuple(found)
