"""Every error that a user can cause or meet, with a way out.

CritsheetError
├── InputError        a recording, caption file or option that cannot be used      (exit status 2)
│   └── NothingSaid   the recording opens but holds no speech to work with         (exit status 3)
├── VocabularyError   a vocabulary folder with a mistake in it                     (exit status 4)
├── SheetError        a sheet that is damaged, or made by a newer Critsheet        (exit status 5)
├── OutputError       the result cannot be written                                 (exit status 6)
├── ModelError        speech weights missing, damaged or unusable                  (exit status 7)
├── TemplateError     a school's template, text or logo with a mistake in it       (exit status 8)
└── ArchiveError      an archive that is damaged, newer, in use or out of reach    (exit status 9)
"""


class CritsheetError(Exception):
    """What went wrong in one line (`what`) and what the user can do about it (`hint`)."""

    exit_status = 1

    def __init__(self, what: str, hint: str = "") -> None:
        super().__init__(what)
        self.what = what
        self.hint = hint

    def __str__(self) -> str:
        return f"{self.what} {self.hint}".strip()


class InputError(CritsheetError):
    """A recording, caption file or option that cannot be used."""

    exit_status = 2


class NothingSaid(InputError):
    """The recording opens, but holds no speech to work with."""

    exit_status = 3


class VocabularyError(CritsheetError):
    """A vocabulary folder with a mistake in it; `what` names file and line."""

    exit_status = 4


class SheetError(CritsheetError):
    """A sheet that is damaged, or made by a newer Critsheet."""

    exit_status = 5


class OutputError(CritsheetError):
    """The result cannot be written; nothing half-written is left behind."""

    exit_status = 6


class ModelError(CritsheetError):
    """Speech weights that are missing, damaged or unusable."""

    exit_status = 7


class TemplateError(CritsheetError):
    """A school's template, text or logo with a mistake in it; `what` names file and line."""

    exit_status = 8


class ArchiveError(CritsheetError):
    """An archive that is damaged, made by a newer Critsheet, in use, or out of reach."""

    exit_status = 9
