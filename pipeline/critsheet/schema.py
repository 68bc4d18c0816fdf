"""The JSON Schema of a sheet, checked in beside this module for other programs to read.

`python -m critsheet.schema` writes it again from the data model; with `--check` it fails where it is stale.
"""

import sys
from pathlib import Path

from critsheet.sheet import SCHEMA, json_schema, write_whole

SCHEMA_FILE = Path(__file__).with_name(f"{SCHEMA.replace('/', '-')}.schema.json")


def is_stale() -> bool:
    """Whether the checked-in schema differs from the one of the data model, or is missing."""
    return not SCHEMA_FILE.is_file() or SCHEMA_FILE.read_text(encoding="utf-8") != json_schema()


def main(arguments: list[str]) -> int:
    """Write the schema, or with `--check` only compare. Returns the exit status."""
    if arguments == ["--check"]:
        if is_stale():
            print(f"{SCHEMA_FILE.name} is stale. Run: python -m critsheet.schema", file=sys.stderr)
        return int(is_stale())
    write_whole(SCHEMA_FILE, json_schema())
    return 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
