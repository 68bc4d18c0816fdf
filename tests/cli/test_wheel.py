"""The wheel alone, installed away from the checkout, does the main job."""

import os
import subprocess
import sys
import venv
from pathlib import Path

import pytest

from critsheet import sheet

CHECKOUT = Path(__file__).resolve().parents[2]
HERE_INSTALLED = next(path for path in map(Path, sys.path) if path.name == "site-packages")

pytestmark = [pytest.mark.package, pytest.mark.model]


@pytest.fixture(scope="module")
def installed(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The `critsheet` command of a new virtual environment that holds the built wheel.

    Its dependencies are those installed here, made visible by a path file; an editable install is not,
    since path files inside such a folder are not followed.
    """
    folder = tmp_path_factory.mktemp("wheel")
    pip = [sys.executable, "-m", "pip", "--disable-pip-version-check", "--quiet"]
    subprocess.run(
        [*pip, "wheel", "--no-deps", "--no-build-isolation", "--wheel-dir", str(folder), str(CHECKOUT)], check=True
    )
    (wheel,) = folder.glob("critsheet-*.whl")
    environment = folder / "venv"
    venv.create(environment, with_pip=False)
    (packages,) = environment.glob("lib/python*/site-packages")
    (packages / "dependencies.pth").write_text(f"{HERE_INSTALLED}\n")
    subprocess.run([*pip, "--python", str(environment / "bin/python"), "install", "--no-deps", str(wheel)], check=True)
    return environment / "bin/critsheet"


def test_the_wheel_runs_the_demo_away_from_the_checkout(installed: Path, tmp_path: Path) -> None:
    clean = {name: value for name, value in os.environ.items() if name != "PYTHONPATH"}
    origin = subprocess.run(
        [str(installed.with_name("python")), "-c", "import critsheet; print(critsheet.__file__)"],
        cwd=tmp_path, env=clean, check=True, capture_output=True, text=True,
    )  # fmt: skip
    assert str(installed.parents[1]) in origin.stdout
    subprocess.run([str(installed), "demo"], cwd=tmp_path, env=clean, check=True)
    made = sorted(tmp_path.glob("demo/*/sheet.json"))
    assert len(made) >= 2
    for path in made:
        assert sheet.load(path).notes
        assert path.with_name("sheet.html").stat().st_size > 0
