"""The console of these tests."""

from __future__ import annotations

import pytest

from tests.nesting.cli.console import Console, console_of


@pytest.fixture
def console(capsys: pytest.CaptureFixture[str]) -> Console:
    """Runs commands and tells what they said."""
    return console_of(capsys)
