"""The command line: one module a command group, each thin. Heavy imports wait until a command runs.

`main` is the entry point. It turns every error that a user can meet into one line on stderr and the
exit status of `critsheet.errors`; 2 for a mistyped command line, 130 for Ctrl-C.
"""

import sys
from collections.abc import Sequence
from typing import Annotated

import typer

from critsheet import __version__
from critsheet.cli import (
    archive,
    batch,
    cohort,
    demo,
    done,
    edit,
    export,
    frames,
    history,
    make,
    models,
    search,
    vocab,
    why,
)
from critsheet.cli.console import complain
from critsheet.errors import CritsheetError

INTERRUPTED = 130
"""128 + SIGINT, the shell's custom for a command stopped with Ctrl-C."""

app = typer.Typer(
    name="critsheet",
    help="Turns a spoken animation critique into a checklist: every note once, in the order to do them, "
    "with the frames it is about and the mentor's own words.",
    epilog="Start with: critsheet demo. Then: critsheet make YOUR-RECORDING",
    context_settings={"help_option_names": ["-h", "--help"]},
    invoke_without_command=True,
    rich_markup_mode="rich",
    pretty_exceptions_enable=False,
)
app.command("make")(make.make)
app.command("batch", epilog=batch.EPILOG)(batch.batch)
app.command("edit", epilog=edit.EPILOG)(edit.edit)
app.command("export")(export.export)
app.command("done")(done.done)
app.command("history")(history.history)
app.command("frames")(frames.frames)
app.command("demo")(demo.demo)
app.command("why")(why.why)
app.command("models")(models.models)
app.command("search")(search.search)
app.command("cohort")(cohort.cohort)
app.add_typer(archive.app, name="archive")
app.add_typer(vocab.app, name="vocab")


def _show_version(wanted: bool) -> None:
    if wanted:
        typer.echo(f"critsheet {__version__}")
        raise typer.Exit


@app.callback()
def _critsheet(
    context: typer.Context,
    _version: Annotated[
        bool,
        typer.Option("--version", callback=_show_version, is_eager=True, help="Show the version and stop."),
    ] = False,
) -> None:
    if context.invoked_subcommand is None:
        typer.echo(context.get_help())


def main() -> None:
    """Run the command line and leave with its exit status."""
    sys.exit(run(sys.argv[1:]))


def run(arguments: Sequence[str]) -> int:
    """Run one command line, for example ["make", "talk.mp4"]. Returns the exit status."""
    try:
        status = app(args=list(arguments), prog_name="critsheet", standalone_mode=False)
    except CritsheetError as error:
        complain(str(error))
        return error.exit_status
    except typer.TyperException as error:
        if not (message := error.format_message()):
            return 0  # a group without a command, which has shown its help
        complain(f"{message.rstrip('.')}. For help: {_command(error)} --help")
        return error.exit_code
    except KeyboardInterrupt:
        status = INTERRUPTED
    if status == INTERRUPTED:
        complain("Stopped, with nothing half-written. Run the same command again to go on.")
    return status if isinstance(status, int) else 0


def _command(error: typer.TyperException) -> str:
    context = getattr(error, "ctx", None)
    return context.command_path if context else "critsheet"
