"""The page's templates: those that come with Critsheet, and a school's folder laid over them.

A school's folder holds only what it changes: a template of the same name (`sheet.html`, `parts/note.html` ...), the
style or a script (`sheet.css`, `ticks.js` ...), texts (`texts/en.yaml`, or a language of its own) and a logo
(`logo.svg`, `logo.png` or `logo.webp`). A template may show what `page_context` holds and run nothing else.
"""

import base64
import traceback
from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from jinja2 import FileSystemLoader, StrictUndefined, TemplateSyntaxError
from jinja2 import TemplateError as JinjaError
from jinja2.sandbox import ImmutableSandboxedEnvironment

from critsheet import resources
from critsheet.errors import TemplateError
from critsheet.render.page_context import Logo
from critsheet.render.texts import FOLDER, Texts, texts

PAGE, STYLE, PAPER_STYLE = "sheet.html", "sheet.css", "pdf.css"
SCRIPTS = ("play.js", "ticks.js", "find.js")
LOGOS = {"logo.svg": "image/svg+xml", "logo.png": "image/png", "logo.webp": "image/webp"}
MAX_FILE_BYTES = 400_000
"""Of a template, a style or a logo: the page stays under a megabyte with them."""
_HINT = "Compare it with the file of that name that comes with Critsheet."


@dataclass(frozen=True)
class Templates:
    """The files that a page is made of, with a school's own in front."""

    school: Path | None
    texts: Texts
    logo: Logo | None

    def style(self, *more: str) -> str:
        """The text of the style sheet, and of those that only one kind of page has on top of it."""
        return "".join(self._own(name, "</style") for name in (STYLE, *more))

    def paper_style(self) -> str:
        """The text of the style sheet that the page has besides where it becomes a PDF."""
        return self._own(PAPER_STYLE, "</style")

    def scripts(self) -> tuple[str, ...]:
        """The scripts' texts, in the order they run."""
        return tuple(self._own(name, "</script") for name in SCRIPTS)

    def render(self, values: Mapping[str, Any], page: str = PAGE) -> str:
        """The page. Raises TemplateError, with file and line, for a mistake in a template."""
        try:
            return self._environment().get_template(page).render(values)
        except TemplateSyntaxError as error:
            raise _mistake(error.filename or page, error.lineno, error.message or "is not a template") from error
        except (JinjaError, ArithmeticError, LookupError, TypeError, ValueError, AttributeError) as error:
            file, line = _place(error, self._folders())
            raise _mistake(file, line, str(error)) from error

    def check(self) -> None:
        """Passes where every template can be read. Raises TemplateError."""
        environment = self._environment()
        for name in environment.list_templates(extensions=("html",)):
            try:
                environment.get_template(name)
            except TemplateSyntaxError as error:
                raise _mistake(error.filename or name, error.lineno, error.message or "is not a template") from error
            except (OSError, UnicodeDecodeError) as error:
                raise _mistake(name, 1, "cannot be read as UTF-8 text") from error
        self.style("history.css")
        self.scripts()

    def _folders(self) -> list[Path]:
        return [*([self.school] if self.school else []), resources.folder("templates")]

    def _environment(self) -> ImmutableSandboxedEnvironment:
        return ImmutableSandboxedEnvironment(
            loader=FileSystemLoader(self._folders()),
            autoescape=True,
            undefined=StrictUndefined,
            trim_blocks=True,
            lstrip_blocks=True,
            keep_trailing_newline=True,
        )

    def _own(self, name: str, end: str) -> str:
        path = next(folder / name for folder in self._folders() if (folder / name).is_file())
        text = _read(path).decode("utf-8", "replace")
        for number, line in enumerate(text.splitlines(), 1):
            if end in line.lower():
                raise _mistake(str(path), number, f"holds {end!r}, which would end it inside the page")
        return text


def read_templates(school: Path | None, language: str) -> Templates:
    """The templates with the texts of `language`.

    Raises TemplateError (file and line) for a mistake in a school's folder, InputError for an unknown language.
    """
    if school is not None and not school.is_dir():
        raise TemplateError(f"{school} is not a folder.", "Give the folder with your school's templates.")
    found = Templates(school, texts(language, school), _logo(school) if school else None)
    if school is not None:
        _check_names(school)
        found.check()
    return found


def _check_names(school: Path) -> None:
    """A misspelt name would pass in silence, and the file without effect."""
    shipped = resources.folder("templates")
    known = {path.relative_to(shipped).as_posix() for path in shipped.rglob("*") if path.is_file()}
    for path in sorted(school.rglob("*")):
        name = path.relative_to(school).as_posix()
        hidden = any(part.startswith(".") for part in Path(name).parts)
        text = name.startswith(f"{FOLDER}/") and path.suffix == ".yaml"
        page = path.suffix in (".html", ".css", ".js", ".yaml")
        if path.is_file() and page and not (hidden or text or name in known):
            near = ", ".join(sorted(one for one in known if Path(one).suffix == path.suffix))
            raise TemplateError(f"{path} takes the place of no file.", f"Files of that kind: {near}.")


def _logo(school: Path) -> Logo | None:
    found = [name for name in LOGOS if (school / name).is_file()]
    if len(found) > 1:
        raise TemplateError(f"{school} holds {' and '.join(found)}.", "Keep one logo.")
    if not found:
        return None
    data = _read(school / found[0])
    return Logo(f"data:{LOGOS[found[0]]};base64,{base64.b64encode(data).decode()}")


def _read(path: Path) -> bytes:
    try:
        data = path.read_bytes()
    except OSError as error:
        raise TemplateError(f"{path} cannot be read: {error.strerror or error}.", "Check the file.") from error
    if len(data) > MAX_FILE_BYTES:
        raise TemplateError(f"{path} is larger than {MAX_FILE_BYTES // 1000} kB.", "Make it smaller.")
    return data


def _place(error: BaseException, folders: list[Path]) -> tuple[str, int]:
    """Where in a template an error arose: Jinja2 writes the template's lines into the traceback."""
    frames = traceback.extract_tb(error.__traceback__)
    inside = [frame for frame in frames if any(Path(frame.filename).is_relative_to(folder) for folder in folders)]
    return (inside[-1].filename, inside[-1].lineno or 1) if inside else (PAGE, 1)


def _mistake(file: str, line: int, what: str) -> TemplateError:
    return TemplateError(f"{file}:{line}: {what.rstrip('.')}.", _HINT)
