"""The first thing a mentor sees: help that comes at once and can be followed."""

import subprocess
import sys
import time
from collections.abc import Callable

HEAVY = ("numpy", "av", "spacy", "faster_whisper", "jinja2", "pandas", "yaml")
START = "import sys; from critsheet.cli import main; sys.argv = ['critsheet', '--help']; main()"
ASK = f"""
import sys
from critsheet import cli
cli.run(["make", "--help"])
print("LOADED", [name for name in {HEAVY!r} if name in sys.modules])
"""
MAX_START_S = 0.5


def test_help_starts_in_under_half_a_second() -> None:
    def start() -> float:
        before = time.perf_counter()
        subprocess.run([sys.executable, "-c", START], check=True, capture_output=True)
        return time.perf_counter() - before

    assert min(start() for _ in range(4)) < MAX_START_S


def test_help_loads_no_heavy_library() -> None:
    done = subprocess.run([sys.executable, "-c", ASK], check=True, capture_output=True, text=True)
    assert "LOADED []" in done.stdout


def test_help_names_every_command_and_option(critsheet: Callable[..., tuple[int, str, str]]) -> None:
    for arguments in ([], ["--help"]):
        status, out, _ = critsheet(*arguments)
        assert status == 0
        assert all(command in out for command in ("make", "demo", "models", "vocab"))
        assert "--install-completion" in out
    _, out, _ = critsheet("make", "--help")
    options = "captions fps frames names title mentor student submission vocab model language device out quiet json"
    assert all(f"--{option}" in out for option in options.split())


def test_a_group_alone_shows_its_help(critsheet: Callable[..., tuple[int, str, str]]) -> None:
    status, out, err = critsheet("vocab")
    assert (status, err) == (0, "")
    assert "check" in out
