"""What core.vocabulary takes from the lists: "?" and the like are no words."""

from pathlib import Path

import pytest

import sql
from dashboard.database.connection import connection
from dashboard.database.version import version


@pytest.fixture(scope="module")
def words(sample_shop: Path) -> set[tuple[str, str]]:
    opened = connection(version(sample_shop)).cursor()  # a second configuration is refused
    rows = opened.execute("SELECT field, word FROM core.vocabulary WHERE mapping = ''")
    return set(rows.fetchall())


def test_a_sign_is_no_word(words: set[tuple[str, str]]):
    listed = {text for row in sql.lookup("causes") for text in (row["synonyms"] or "").split("|")}
    assert "?" in listed, "the lists hold no sign: nothing was tried"
    assert not [field for field, word in words if not word]


def test_every_id_means_itself_once_folded(words: set[tuple[str, str]]):
    symptoms = {row["symptom"].replace("_", " ") for row in sql.lookup("symptoms")}
    assert symptoms <= {word for field, word in words if field == "symptom"}
