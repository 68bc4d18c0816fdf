"""`critsheet vocab`: look into the vocabulary, try it on a sentence, check a folder of one's own."""

from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

if TYPE_CHECKING:
    from rich.table import Table
    from rich.text import Text

    from critsheet.vocabulary import CategoryEntry, Phrase, Vocabulary

_HELP = (
    "How phrases are written:",
    "[bold]foot slide[/]  also finds: feet are sliding, the foot slid.",
    "[bold]knee|elbow pop[/]  either word; of several words in brackets: (knee|elbow joint) pop.",
    "[bold]not completely? still[/]  a word that may be missing.  [bold]=read[/]  exactly this form.",
    "[bold]~foot[/]  the foot by any name; [bold]~part[/] any body part, [bold]~name[/] any character, [bold]~[/] any.",
    "[bold]~surface ~loose ~effect[/]  floors and tables, hair and cloth, dust and water.",
    "[bold]N[/]  a number.  [bold]...[/]  up to four other words.  [bold]keep !going[/]  not before going.",
    "A folder of your own holds categories/NAME.yaml, cues.yaml, body.yaml, subjects.yaml, stages.yaml or "
    "synonyms.yaml with whatever you add. A category file needs only its id; its phrases are added to Critsheet's. "
    "With [bold]replace: true[/] they stand in place of them. A phrase to which you give another meaning keeps yours.",
)

app = typer.Typer(help="The words Critsheet listens for.", no_args_is_help=True, epilog="\n\n".join(_HELP))

_Folders = Annotated[
    list[Path] | None, typer.Option("--vocab", help="A folder of your own laid over it; may be given again.")
]
_LISTS = ("cues", "body", "subjects", "stages", "synonyms")
_RULE_WIDTH = 28
"""Characters of a rule shown beside what it found, so that a row fits into 80 columns."""

_WRONG = 4
"""The exit status of a VocabularyError, also where several problems are listed."""


@app.command()
def check(
    folders: Annotated[list[Path] | None, typer.Argument(help="Folders of your own, the first one lowest.")] = None,
) -> None:
    """Check the vocabulary and the folders laid over it: every rule and every example."""
    from critsheet import vocabulary
    from critsheet.cli.console import complain
    from critsheet.vocabulary.check import problems

    pack = vocabulary.load(tuple(folders or ()))
    found = problems(pack)
    for problem in found:
        complain(f"{problem.file}:{problem.line}: {problem.what} {problem.hint}")
    if found:
        raise typer.Exit(_WRONG)
    judging = sum(phrase.category is not None for phrase in pack.phrases)
    typer.echo(
        f"All is well: {len(pack.categories)} categories, {judging} phrases, {len(pack.phrases) - judging} cues, "
        f"{len(pack.misheard)} misheard terms, {len(pack.synonyms)} groups of synonyms; "
        f"{len(pack.examples)} examples hold."
    )


@app.command("try")
def try_(
    text: Annotated[str, typer.Argument(help='What a mentor might say, in quotes: "the foot is sliding".')],
    names: Annotated[str | None, typer.Option(help='Characters and props: "Osk, Tibby, valve".')] = None,
    vocab: _Folders = None,
) -> None:
    """Show what is found in a sentence, and by which rule."""
    from rich.console import Console

    from critsheet import vocabulary
    from critsheet.cli.options import names as names_of
    from critsheet.language import terms

    pack = vocabulary.load(tuple(vocab or ()))
    words = text.split()
    findings = terms.find(words, pack, names_of(names))
    rules = {phrase.id: phrase for phrase in pack.phrases}
    table = _table("Said", "Means", "By the rule", "In")
    table.columns[2].no_wrap, table.columns[2].max_width = True, _RULE_WIDTH
    for finding in findings:
        rule = rules[finding.rule]
        table.add_row(*_cells(finding.text, _meaning(rule), rule.text, f"{Path(rule.file).stem}:{rule.line}"))
    for part in terms.find_body(words, pack):
        table.add_row(*_cells(part.text, part.part, "a body part", "body"))
    for way in terms.find_synonyms(words, pack):
        table.add_row(*_cells(way.text, way.group, "has synonyms", "synonyms"))
    if table.row_count:
        Console().print(table)
    else:
        typer.echo("Nothing is found. Add a phrase for it in a folder of your own: critsheet vocab --help")


@app.command("list")
def list_(
    what: Annotated[str | None, typer.Argument(help=f"A category, or one of {', '.join(_LISTS)}.")] = None,
    vocab: _Folders = None,
) -> None:
    """List the categories, or everything about one of them."""
    from rich.console import Console

    from critsheet import vocabulary

    pack = vocabulary.load(tuple(vocab or ()))
    console = Console()
    if what is None:
        console.print(_categories(pack))
        typer.echo("critsheet vocab list NAME shows one of them; NAME may also be " + ", ".join(_LISTS) + ".")
    elif what in pack.categories:
        _print_category(pack.categories[what], pack)
    elif what in _LISTS:
        console.print(_named(pack, what))
    else:
        from critsheet.errors import InputError

        raise InputError(f"There is no {what!r} to list.", f"Choose from {', '.join((*pack.categories, *_LISTS))}.")


def _categories(pack: "Vocabulary") -> "Table":
    table = _table("Order", "Category", "Fault", "Remedy", "Praise", "Word", "Misheard")
    for entry in sorted(pack.categories.values(), key=lambda entry: entry.order):
        functions = [phrase.function for phrase in pack.phrases if phrase.category == entry.id]
        counts = [functions.count(function) for function in ("fault", "remedy", "praise", "word")]
        misheard = sum(rule.category == entry.id for rule in pack.misheard)
        table.add_row(*_cells(entry.order, entry.id, *counts, misheard))
    return table


def _print_category(entry: "CategoryEntry", pack: "Vocabulary") -> None:
    from rich.console import Console
    from rich.padding import Padding
    from rich.text import Text

    console = Console()
    about = (("What it is", entry.meaning), ("Why", entry.why), ("What to do", entry.remedy), ("Check", entry.check))
    for title, words in about:
        console.print(Text(title, style="bold"), Padding(Text(words), (0, 0, 0, 2)), sep="\n")
    for function in ("fault", "remedy", "praise", "word"):
        phrases = [phrase for phrase in pack.phrases if phrase.category == entry.id and phrase.function == function]
        _print_phrases(function.capitalize(), phrases)
    misheard = [rule for rule in pack.misheard if rule.category == entry.id]
    console.print(Text("Misheard", style="bold"))
    for rule in misheard:
        heard = ", ".join(" ".join(form) for form in rule.heard)
        console.print(Padding(Text(f"{rule.meant}: {heard}"), (0, 0, 0, 2)))


def _print_phrases(title: str, phrases: "list[Phrase]") -> None:
    from rich.console import Console
    from rich.padding import Padding
    from rich.text import Text

    console = Console()
    console.print(Text(title, style="bold"))
    for phrase in phrases:
        decided = "  (with a deciding word near)" if phrase.near or phrase.unless else ""
        console.print(Padding(Text(phrase.text + decided), (0, 0, 0, 2)))


def _named(pack: "Vocabulary", what: str) -> "Table":
    """Names and their phrases: cues by function, body parts, subjects, synonyms or stages."""
    if what == "stages":
        table = _table("Stage", "Settle here", "Too early for")
        for stage in pack.stages:
            table.add_row(*_cells(stage.name, ", ".join(stage.settle), ", ".join(stage.premature)))
        return table
    synonyms = {group.id: group.phrases for group in pack.synonyms}
    groups = {"cues": pack.cues, "body": pack.body, "subjects": pack.subjects, "synonyms": synonyms}[what]
    table = _table("Name", "Said as")
    for name, phrases in groups.items():
        table.add_row(*_cells(name, "; ".join(phrase.text for phrase in phrases)))
    return table


def _meaning(rule: "Phrase") -> str:
    return f"{rule.category} {rule.function}" if rule.category else rule.function


def _table(*titles: str) -> "Table":
    from rich import box
    from rich.table import Table

    return Table(*titles, box=box.SIMPLE_HEAD, pad_edge=False)


def _cells(*values: object) -> "list[Text]":
    from rich.text import Text

    from critsheet.render.words import plain

    return [Text(plain(str(value))) for value in values]
