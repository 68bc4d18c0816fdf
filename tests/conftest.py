"""What tests of several packages need of the computer they run on."""

import os
from contextlib import redirect_stdout
from io import StringIO

import pytest


@pytest.fixture(scope="session")
def pango() -> None:
    """What lays out text for a PDF; a test that needs it is skipped, or fails in CI, where it is missing."""
    try:
        with redirect_stdout(StringIO()):
            import weasyprint  # noqa: F401
    except OSError as error:
        reason = f"a PDF needs Debian's libpango-1.0-0, libpangoft2-1.0-0 and libharfbuzz-subset0: {error}"
        pytest.fail(reason) if os.environ.get("CI") else pytest.skip(reason)
