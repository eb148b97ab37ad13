"""The sample shop goes into an empty folder and out again, never together with own records."""

import shutil
from pathlib import Path

import pytest

from etl.folder.errors import PublishError
from etl.folder.sample import holds_only_sample, remove_sample
from etl.folder.versions import current
from etl.load import load
from tests.etl.exports import write
from tests.test_pages import opened, texts


@pytest.fixture
def folder(sample_shop: Path, tmp_path: Path) -> Path:
    """A copy of the sample shop's database."""
    return Path(shutil.copytree(sample_shop, tmp_path / "db"))


def test_the_sample_shop_is_labeled_and_removed_from_the_page(folder, monkeypatch):
    assert "Invented sample shop" in texts(opened("records", folder, monkeypatch))
    app = opened("add_records", folder, monkeypatch)
    app = app.button(key="remove_sample").click().run()
    assert not app.exception
    assert current(folder) is None
    app = opened("add_records", folder, monkeypatch)
    app = app.button(key="try_sample").click().run(timeout=120)
    assert not app.exception
    assert holds_only_sample(current(folder))


def test_own_records_are_never_removed(folder, tmp_path):
    text = "job_id,opened_on,closed_on,appliance_kind,symptom,disposition\n"
    own = write(tmp_path / "own.csv", text + "1,2026-01-01,2026-01-02,washer,leaks,repaired\n")
    load([own], folder)
    before = current(folder)
    assert not holds_only_sample(before)
    with pytest.raises(PublishError, match="nothing was removed"):
        remove_sample(folder)
    assert current(folder) == before
