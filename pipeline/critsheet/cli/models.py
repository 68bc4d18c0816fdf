"""`critsheet models`: the speech models to choose from."""


def models() -> None:
    """List the speech models on this computer that --model accepts by name."""
    from rich import box
    from rich.console import Console
    from rich.table import Table
    from rich.text import Text

    from critsheet import speech

    table = Table("Name", "Where from", "Folder", box=box.SIMPLE_HEAD)
    for model in speech.models():
        name = f"{model.name} (used if --model is left out)" if model.name == speech.DEFAULT_MODEL else model.name
        table.add_row(Text(name), Text(model.origin), Text(str(model.folder or "")))
    console = Console()
    console.print(table)
    console.print("--model also takes a folder with any Whisper model converted for faster-whisper.")
