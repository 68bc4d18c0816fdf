"""The published JSON Schema of a sheet is the one the program writes."""

from pathlib import Path

import pytest

from critsheet import schema


def test_the_checked_in_schema_is_fresh() -> None:
    assert not schema.is_stale(), "run: python -m critsheet.schema"
    assert schema.main(["--check"]) == 0


def test_a_stale_schema_fails_and_names_the_command_that_mends_it(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.setattr(schema, "SCHEMA_FILE", tmp_path / "critsheet-1.schema.json")
    assert schema.main(["--check"]) == 1
    assert "python -m critsheet.schema" in capsys.readouterr().err
    assert schema.main([]) == 0
    assert schema.main(["--check"]) == 0
