"""Comparisons by people say how many written spellings their names stand for."""

import shutil

import pytest

from etl.mapping.accepted_words import AcceptedWord
from etl.rebuild import accept_words
from tests.ask import measure, run
from tests.etl.exports import jobs_table, loaded, mapping, write
from tests.test_pages import check, opened, texts

PEOPLE = ("Ada Elm", "Elm Ada", "A. Elm", "Ben Oak", "ben oak", "Cy Ash")


@pytest.fixture
def shop(tmp_path):
    """A shop of three technicians in six spellings, one jobs table without serials."""
    rows = "".join(
        f"{n},2026-01-{n:02d},2026-01-{n:02d},washer,repaired,{PEOPLE[n % 6]},North,C{n},{n}\n"
        for n in range(1, 25)
    )
    by = mapping(
        "elm", jobs_table(technician="Tech", branch="Branch", customer="Cust", serial="SN")
    )
    text = f"Job,In,Out,Unit,End,Tech,Branch,Cust,SN\n{rows}"
    loaded(write(tmp_path / "jobs.csv", text), tmp_path / "db", by)
    return tmp_path / "db"


def join(folder, pairs: dict[str, str]) -> None:
    words = [AcceptedWord("elm", "technician", text, name) for text, name in pairs.items()]
    accept_words(folder, words)


def counts(folder, group_by: str) -> tuple[int, int]:
    row = run(folder, "pages/joined_spellings", group_by=group_by).iloc[0]
    return row.spellings, row.names


def test_only_confirmed_spellings_that_occur_are_counted(shop):
    assert counts(shop, "technician") == (0, 0)
    join(shop, {"Elm Ada": "Ada Elm", "A. Elm": "Ada Elm", "ben oak": "Ben Oak", "Nil": "Cy Ash"})
    assert counts(shop, "technician") == (3, 2)
    assert counts(shop, "branch") == (0, 0)
    assert set(measure(shop, "callbacks", group_by="technician")["group"]) == {
        "Ada Elm", "Ben Oak", "Cy Ash",
    }  # fmt: skip


@pytest.fixture(scope="module")
def joined_sample(sample_shop, tmp_path_factory):
    """The sample shop with two of its technicians taken for one."""
    folder = tmp_path_factory.mktemp("joined") / "db"
    shutil.copytree(sample_shop, folder)
    names = run(folder, "pages/written_names").query("field == 'technician'")
    first, second = names["name"].head(2)
    accept_words(folder, [AcceptedWord(names["mapping"].iloc[0], "technician", second, first)])
    return folder


@pytest.mark.parametrize("page", ["first_time_fix", "callbacks", "misdiagnosis"])
def test_the_pages_say_it_where_people_are_compared(page, sample_shop, joined_sample, monkeypatch):
    said = "1 other spelling was joined into 1 name"
    for folder, is_said in ((sample_shop, False), (joined_sample, True)):
        app = opened(page, folder, monkeypatch)
        app = app.button_group(key="by").set_value("technician").run()
        check(app)
        assert (said in texts(app)) is is_said
