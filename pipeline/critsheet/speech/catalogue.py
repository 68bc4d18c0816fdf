"""Which speech models there are, and which of them lie on this computer."""

from dataclasses import dataclass
from pathlib import Path

from critsheet.errors import ModelError
from critsheet.speech import weights

DEFAULT_MODEL = "base"
"""The model whose weights come with Critsheet."""

_NEEDED_FILES = ("model.bin", "config.json", "tokenizer.json")
"""Without its own tokenizer the recogniser would fetch one from the network."""


@dataclass(frozen=True)
class Model:
    """A speech model that is ready to use: what to call it, where it lies, and how it came there.

    `folder` is None for weights that still wait in their package and are unpacked on first use.
    """

    name: str
    folder: Path | None
    origin: str


def models() -> list[Model]:
    """Every model that --model takes by name and that is on this computer, the default first."""
    from faster_whisper import available_models

    found = []
    try:
        weights.packaged()
        found.append(Model(DEFAULT_MODEL, None, "comes with Critsheet"))
    except ModelError:
        pass
    for name in available_models():
        folder = _downloaded(name)
        if folder is not None and name != DEFAULT_MODEL:
            found.append(Model(name, folder, "downloaded"))
    return found


def folder_of(model: str) -> Path:
    """The folder of a model, by name or by folder; nothing is fetched.

    Raises ModelError, saying how to get the model, where it is not on this computer.
    """
    if model == DEFAULT_MODEL:
        return weights.joined(weights.packaged())
    folder = Path(model)
    if folder.is_dir():
        missing = [name for name in _NEEDED_FILES if not (folder / name).is_file()]
        if missing:
            raise ModelError(
                f"The folder {folder} holds no whole speech model: {', '.join(missing)} is missing.",
                "Choose a Whisper model converted for faster-whisper; critsheet models lists those you have.",
            )
        return folder
    found = _downloaded(model)
    if found is None:
        raise _absent(model)
    return found


def _downloaded(name: str) -> Path | None:
    """The folder of a model that was downloaded by name before, or None."""
    from faster_whisper import available_models, download_model

    if name not in available_models():
        return None
    try:
        folder = Path(download_model(name, local_files_only=True))
    except Exception:  # the library raises several kinds, all of which mean "not here"
        return None
    return folder if all((folder / file).is_file() for file in _NEEDED_FILES) else None


def _absent(model: str) -> ModelError:
    from faster_whisper import available_models

    names = [name for name in available_models() if name != DEFAULT_MODEL]
    if model in names:
        return ModelError(
            f"The speech model {model} is not on this computer.",
            "Download it once, while online: "
            f"python -c \"import faster_whisper; faster_whisper.download_model('{model}')\". "
            f"Or leave --model out to use {DEFAULT_MODEL}.",
        )
    return ModelError(
        f"There is no speech model or folder called {model}.",
        f"Choose {DEFAULT_MODEL}, a folder with a model, or one of: {', '.join(names)}.",
    )
