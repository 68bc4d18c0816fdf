"""From sound or captions to a Transcript, and the repair of trade words and names that were misheard."""

from critsheet.speech.captions import read_captions
from critsheet.speech.catalogue import DEFAULT_MODEL, Model, models
from critsheet.speech.languages import LANGUAGES
from critsheet.speech.recordings import DEVICES, SpeechOptions, transcribe
from critsheet.speech.repair import repair

__all__ = [
    "DEFAULT_MODEL",
    "DEVICES",
    "LANGUAGES",
    "Model",
    "SpeechOptions",
    "models",
    "read_captions",
    "repair",
    "transcribe",
]
