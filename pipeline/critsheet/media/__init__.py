"""Opens recordings: what a file holds (probe), its sound (decode_sound) and its fingerprint (sha256)."""

from critsheet.media.opening import MAX_SECONDS, Probe, probe, sha256
from critsheet.media.sound import SAMPLE_RATE, decode_sound

__all__ = ["MAX_SECONDS", "SAMPLE_RATE", "Probe", "decode_sound", "probe", "sha256"]
