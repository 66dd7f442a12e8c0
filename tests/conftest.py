"""What all tests share."""

from __future__ import annotations

import os
import tempfile
from pathlib import Path


def pytest_configure() -> None:
    """No test reads or writes the rack ledger of whoever runs it."""
    os.environ["STEELYARD_RACK"] = str(Path(tempfile.gettempdir()) / "no-rack-in-tests" / "rack.sqlite")
