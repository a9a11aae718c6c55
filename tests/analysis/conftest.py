"""What the tests of analyses share."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.analysis.specs import edited


@pytest.fixture
def specs(tmp_path: Path) -> Path:
    """A copy of the demonstration specs, to be changed."""
    return edited(tmp_path, {})
