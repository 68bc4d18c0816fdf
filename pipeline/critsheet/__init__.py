"""Critsheet turns a spoken animation critique into a prioritised checklist.

Packages import in one direction only, the order of the data:
media -> speech -> language -> notes -> frames -> render; make.py knows the order, cli calls make.py.
"""

import os

__version__ = "0.1.0"

# Nothing leaves the user's machine: libraries that report their use when first imported are told not to.
os.environ.update(ORT_DISABLE_TELEMETRY="1", HF_HUB_DISABLE_TELEMETRY="1", DO_NOT_TRACK="1")
