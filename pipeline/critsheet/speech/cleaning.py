"""Makes text from outside safe to keep: no control characters, no direction overrides, single spaces."""

import re
import unicodedata

_DROPPED = {"Cc", "Cf", "Cs", "Co", "Cn"}
"""Unicode categories of characters that show nothing and can garble a terminal or turn text round."""

_TERMINAL = re.compile(r"\x1b\[[0-9;?]*[ -/]*[@-~]")
"""A terminal's control sequence (ECMA-48, section 5.4)."""


def clean(text: str) -> str:
    """The text in composed form without invisible characters, each run of white space as one space."""
    if text.isascii() and text.isprintable():
        return " ".join(text.split())
    bare = unicodedata.normalize("NFC", _TERMINAL.sub("", text))
    spaced = "".join(" " if character.isspace() else character for character in bare)
    return " ".join("".join(c for c in spaced if unicodedata.category(c) not in _DROPPED).split())
