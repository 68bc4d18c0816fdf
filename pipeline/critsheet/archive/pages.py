"""Reads what is stored of sheets from the pages of a damaged SQLite file, where SQLite itself can read no more.

After https://www.sqlite.org/fileformat2.html: pages (section 1.2), cells of a table's leaves (1.6), records (2.1),
frames of the write-ahead log (4.1). Nothing is trusted: whoever uses a document checks it against its sha256.
"""

import re
from collections.abc import Iterator
from dataclasses import dataclass
from functools import partial
from pathlib import Path

from critsheet.archive.forms import Form
from critsheet.archive.tables import versions
from critsheet.errors import ArchiveError

_LEAF = 0x0D
_PAGE_BYTES = 4096
"""SQLite's own choice, where the file does not say."""
_FILE_HEADER, _LEAF_HEADER, _LOG_HEADER, _FRAME_HEADER = 100, 8, 32, 24
_COLUMNS = len(versions.c)
_SHA256 = re.compile(rb"[0-9a-f]{64}")
_TIME = re.compile(rb"\d{4}-\d\d-\d\dT\d\d:\d\d:\d\dZ")
_INT_BYTES = {1: 1, 2: 2, 3: 3, 4: 4, 5: 6, 6: 8}


class _Damaged(Exception):
    """Bytes that cannot be what they should be."""


def forms_in(file: Path) -> list[Form]:
    """Every form of a sheet whose row can still be made out. Raises ArchiveError where the file cannot be read."""
    try:
        pages = _Pages(file)
        return [form for page in range(1, pages.count + 1) for form in _forms_on(pages, page)]
    except OSError as error:
        raise ArchiveError(f"Cannot read {file}: {error.strerror or error}.", "Check the path and the disk.") from error


class _Pages:
    """The pages of a file, numbered from 1, each as its last writer committed it."""

    def __init__(self, file: Path) -> None:
        self._file = file
        with file.open("rb") as opened:
            stated = int.from_bytes(opened.read(18)[16:18], "big")
        size = 65536 if stated == 1 else stated
        self.bytes = size if size in {2**power for power in range(9, 17)} else _PAGE_BYTES
        self._log = file.with_name(file.name + "-wal")
        self._logged = dict(_committed(self._log, self.bytes)) if self._log.exists() else {}
        self.count = max(file.stat().st_size // self.bytes, *self._logged, 0)

    def read(self, page: int) -> bytes:
        path, at = (self._log, self._logged[page]) if page in self._logged else (self._file, (page - 1) * self.bytes)
        try:
            with path.open("rb") as opened:
                opened.seek(at)
                content = opened.read(self.bytes)
        except (OSError, ValueError):  # a place that the disk cannot read, or that cannot be
            content = b""
        if len(content) < self.bytes:
            raise _Damaged
        return content


def _committed(log: Path, page_bytes: int) -> Iterator[tuple[int, int]]:
    """The pages in a write-ahead log and where they lie in it, as far as they were committed, later ones last."""
    waiting: list[tuple[int, int]] = []
    with log.open("rb") as opened:
        salts = opened.read(_LOG_HEADER)[16:24]
        while len(header := opened.read(_FRAME_HEADER)) == _FRAME_HEADER and header[8:16] == salts:
            waiting.append((int.from_bytes(header[:4], "big"), opened.tell()))
            opened.seek(page_bytes, 1)
            if int.from_bytes(header[4:8], "big"):
                yield from waiting
                waiting.clear()


def _forms_on(pages: _Pages, page: int) -> Iterator[Form]:
    try:
        content = pages.read(page)
    except _Damaged:
        return
    header = _FILE_HEADER if page == 1 else 0
    if content[header] != _LEAF:
        return
    for cell in range(int.from_bytes(content[header + 3 : header + 5], "big")):
        pointer = header + _LEAF_HEADER + 2 * cell
        at = int.from_bytes(content[pointer : pointer + 2], "big")
        try:
            yield _form(pages, page, content, at)
        except (_Damaged, IndexError):
            continue


@dataclass(frozen=True)
class _Record:
    """A row: where its values lie in its payload, the first part of which stands on the leaf itself."""

    size: int
    here: bytes
    overflow: int


def _form(pages: _Pages, page: int, content: bytes, at: int) -> Form:
    """The form whose row begins at a place of a page. Raises _Damaged, IndexError for anything else."""
    record = _record(pages, content, at)
    size, place = _varint(record.here, 0)
    types: list[int] = []
    while place < size and len(types) <= _COLUMNS:
        kind, place = _varint(record.here, place)
        types.append(kind)
    if len(types) != _COLUMNS or place != size:
        raise _Damaged
    values = []
    for kind in types[:-1]:
        length = _length(kind)
        values.append((kind, record.here[place : place + length]))
        place += length
    (_, _), sheet, number, (_, sha256), (_, changed), (_, filed) = values
    if not (_SHA256.fullmatch(sha256) and _TIME.fullmatch(changed) and _TIME.fullmatch(filed)):
        raise _Damaged
    if types[-1] < 12 or types[-1] % 2 or place + _length(types[-1]) != record.size:
        raise _Damaged
    read = partial(_document, pages, page, at, place)
    return Form(_integer(*sheet), _integer(*number), changed.decode(), sha256.decode(), read)


def _document(pages: _Pages, page: int, at: int, place: int) -> bytes:
    """The end of a row's payload, from `place` on. Raises ArchiveError."""
    try:
        record = _record(pages, pages.read(page), at)
        parts, found, following = [record.here], len(record.here), record.overflow
        while found < record.size:
            content = pages.read(following)
            following = int.from_bytes(content[:4], "big")
            parts.append(content[4:])
            found += len(content) - 4
        return b"".join(parts)[place : record.size]
    except _Damaged as error:
        raise ArchiveError("The pages of this sheet are damaged.") from error


def _record(pages: _Pages, content: bytes, at: int) -> _Record:
    """The row at a place of a leaf (section 1.6: how much of it lies on the leaf itself)."""
    size, at = _varint(content, at)
    _, at = _varint(content, at)
    if size > pages.count * pages.bytes:
        raise _Damaged
    most, least = pages.bytes - 35, (pages.bytes - 12) * 32 // 255 - 23
    if size <= most:
        return _Record(size, content[at : at + size], 0)
    local = least + (size - least) % (pages.bytes - 4)
    local = local if local <= most else least
    if at + local + 4 > len(content):
        raise _Damaged
    return _Record(size, content[at : at + local], int.from_bytes(content[at + local : at + local + 4], "big"))


def _varint(content: bytes, at: int) -> tuple[int, int]:
    """A number of one to nine bytes (section 1.6), and where it ends."""
    value = 0
    for place in range(at, at + 8):
        value = value << 7 | content[place] & 0x7F
        if content[place] < 0x80:
            return value, place + 1
    return value << 8 | content[at + 8], at + 9


def _length(kind: int) -> int:
    """Bytes of a value of a serial type (section 2.1)."""
    return (kind - 12) // 2 if kind >= 12 else _INT_BYTES.get(kind, 8 if kind == 7 else 0)


def _integer(kind: int, content: bytes) -> int:
    if kind in (8, 9):
        return kind - 8
    if kind not in _INT_BYTES:
        raise _Damaged
    return int.from_bytes(content, "big", signed=True)
