"""Finds the data that ships with Critsheet: vocabulary, templates and sample recordings."""

from pathlib import Path

from critsheet.errors import CritsheetError

_PACKAGE = Path(__file__).resolve().parent
_CHECKOUT = _PACKAGE.parents[1]


def folder(name: str) -> Path:
    """The folder `name` ("vocab", "templates", "sample_audio"), inside the wheel or in a checkout.

    Raises CritsheetError where the installation is incomplete.
    """
    for parent in (_PACKAGE, _CHECKOUT):
        if (parent / name).is_dir():
            return parent / name
    raise CritsheetError(f"Critsheet's own folder {name!r} is missing.", "Install Critsheet again.")
