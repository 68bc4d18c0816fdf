"""Turns a caption file's bytes into text, whatever program wrote it."""

import codecs

_MARKS = (
    (codecs.BOM_UTF8, "utf-8"),
    (codecs.BOM_UTF32_LE, "utf-32"),
    (codecs.BOM_UTF32_BE, "utf-32"),
    (codecs.BOM_UTF16_LE, "utf-16"),
    (codecs.BOM_UTF16_BE, "utf-16"),
)
"""Byte order marks; UTF-32's begins like UTF-16's, so it is tried first (Unicode Standard, section 23.8)."""

_SAMPLE_BYTES = 400
_BINARY_SHARE = 0.02
"""Text holds no control characters but tabs and line ends; a stray one is forgiven, a film's one in ten is not."""


def decode(content: bytes) -> str | None:
    """The text with plain line ends, or None for something that is not text.

    By its byte order mark; else UTF-16 where every other byte is zero; else UTF-8; else Windows-1252, which older
    subtitle programs write.
    """
    text = _decoded(content)
    if text is None:
        return None
    text = text.replace("\r\n", "\n").replace("\r", "\n")
    strange = sum(character < " " and character not in "\t\n\r\f\x1b" for character in text[:_SAMPLE_BYTES])
    return None if strange > _BINARY_SHARE * min(len(text), _SAMPLE_BYTES) + 1 else text


def _decoded(content: bytes) -> str | None:
    for mark, encoding in _MARKS:
        if content.startswith(mark):
            body = content[len(mark) :] if encoding == "utf-8" else content
            return body.decode(encoding, errors="replace")
    sample = content[:_SAMPLE_BYTES]
    for first, encoding in ((1, "utf-16-le"), (0, "utf-16-be")):
        other = sample[1 - first :: 2]
        if len(sample) > 1 and not any(sample[first::2]) and all(other):
            return content.decode(encoding, errors="replace")
    if b"\0" in sample:
        return None
    try:
        return content.decode("utf-8")
    except UnicodeDecodeError:
        return content.decode("cp1252", errors="replace")
