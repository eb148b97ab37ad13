"""Spark for the tests: one small session, or a visible reason why there is none."""

import os
import shutil
from collections.abc import Iterator
from pathlib import Path

import pytest

HERE = Path(__file__).parent


def pytest_collection_modifyitems(items: list[pytest.Item]) -> None:
    """Skip, with the reason, where Java is missing; with REQUIRE_SPARK set that is a failure."""
    if shutil.which("java") or os.environ.get("JAVA_HOME") or os.environ.get("REQUIRE_SPARK"):
        return
    for item in items:
        if HERE in item.path.parents and "spark" in getattr(item, "fixturenames", ()):
            item.add_marker(pytest.mark.skip(reason="no Java here: Spark cannot run"))


@pytest.fixture(scope="session")
def spark() -> Iterator:
    """A session on two cores of this machine, with the small settings of conf/."""
    os.environ["SPARK_CONF_DIR"] = str(HERE / "conf")
    from pyspark.sql import SparkSession

    session = SparkSession.builder.master("local[2]").getOrCreate()
    yield session
    session.stop()
