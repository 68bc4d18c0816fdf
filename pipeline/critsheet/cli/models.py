"""`critsheet models`: the speech models to choose from."""


def models() -> None:
    """List the speech models that --model accepts."""
    from rich.console import Console
    from rich.table import Table

    from critsheet import speech
