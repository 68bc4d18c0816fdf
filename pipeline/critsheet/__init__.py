"""Critsheet turns a spoken animation critique into a prioritised checklist.

Packages import in one direction only, the order of the data:
media -> speech -> language -> notes -> frames -> render; make.py knows the order, cli calls make.py.
"""

__version__ = "0.1.0"
