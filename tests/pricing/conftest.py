"""Fixtures of the tests of prices."""

import shutil
from pathlib import Path

import pytest


@pytest.fixture
def sample_copy(sample_shop: Path, tmp_path: Path) -> Path:
    """A copy of the sample shop into which may be written."""
    folder = tmp_path / "shop"
    shutil.copytree(sample_shop, folder)
    return folder
