"""Opens recordings: what a file holds (probe), its sound (decode_sound) and its fingerprint (sha256)."""

from critsheet.media.opening import Probe, probe, sha256
from critsheet.media.sound import SAMPLE_RATE, decode_sound

__all__ = ["SAMPLE_RATE", "Probe", "decode_sound", "probe", "sha256"]
