"""The hostile shop, loaded once."""

from pathlib import Path

import pytest

from tests.trust.hostile_shop import hostile_shop


@pytest.fixture(scope="session")
def hostile(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The database folder of the hostile shop; read it only."""
    return hostile_shop(tmp_path_factory.mktemp("hostile"))
