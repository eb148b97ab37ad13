"""Spellings of one person are proposed by likeness, joined once confirmed, separated at will."""

import random
import time
from pathlib import Path

import pytest

from dashboard.cli import main as cli
from etl.load import load
from etl.mapping import spellings
from etl.mapping.accepted_words import AcceptedWord
from etl.mapping.spellings import same_names
from etl.rebuild import accept_words
from tests.ask import run


@pytest.mark.parametrize("spelling", ["Smith, J.", "J Smith", "Smith John", "JS", "john smith"])
def test_a_spelling_of_one_technician_is_proposed(spelling: str):
    found = same_names({"John Smith": 40, spelling: 3, "Ruth Barlow": 25}, "technician")
    assert [(same.spelling, same.name) for same in found] == [(spelling, "John Smith")]


@pytest.mark.parametrize("spelling", ["Smith, J.", "JS", "Smith"])
def test_what_could_be_two_people_is_not_proposed(spelling: str):
    assert same_names({"John Smith": 40, "Jane Smith": 30, spelling: 3}, "technician") == []


@pytest.mark.parametrize(
    ("one", "other"), [("Van 1", "Van 2"), ("Tech 11", "Tech 12"), ("Al", "Jo")]
)
def test_names_that_differ_in_a_number_are_two(one: str, other: str):
    assert same_names({one: 9, other: 9}, "technician") == []


def test_models_join_by_punctuation_alone():
    found = same_names({"NK-220 B": 9, "NK220B": 2, "NK221B": 4}, "model")
    assert [same.spelling for same in found] == ["NK220B"]


@pytest.mark.parametrize("field", ["technician", "brand", "model"])
def test_no_likeness_is_missed_by_comparing_few(field: str, monkeypatch):
    """Drawn names, compared with what all pairs give."""
    seed = random.Random(5)
    words = (
        "Ann",
        "A",
        "AB",
        "Barlow",
        "Barlowe",
        "b",
        "RC",
        "26",
        "RC26",
        "Ruth",
        "R",
        "rù",
        "AR",
    )
    for _ in range(60):
        names = {" ".join(seed.choices(words, k=seed.randint(1, 3))) for _ in range(12)}
        jobs = {name: seed.randint(1, 9) for name in sorted(names)}
        few = same_names(jobs, field)
        with monkeypatch.context() as patched:
            patched.setattr(spellings, "_Names", AllNames)
            assert same_names(jobs, field) == few


class AllNames(list):
    """What compares every name with every other."""

    def __init__(self, field: str) -> None:
        super().__init__()

    add = list.append

    def near(self, spelling: str) -> list[str]:
        return list(self)


@pytest.mark.parametrize("field", ["brand", "model"])
def test_many_hundreds_of_names_are_compared_in_seconds(field: str):
    names = {
        f"<img src=x onerror=go> {a}{b}{c}": 1 for a in "ABCDEFGHIJ" for b in WORDS for c in WORDS
    }
    assert len(names) > 1000
    started = time.process_time()
    same_names(names, field)
    assert time.process_time() - started < 20


WORDS = [chr(65 + i // 4) * (1 + i % 4) for i in range(12)]


def jobs_file(folder: Path) -> Path:
    """Write four jobs of one technician in two spellings."""
    path = folder / "jobs.csv"
    who = ["John Smith", "Smith, J.", "John Smith", "Smith, J."]
    rows = [
        f'{n},2026-01-0{n},2026-01-0{n},washer,wont drain,repaired,"{name}"'
        for n, name in enumerate(who, start=1)
    ]
    head = "job_id,opened_on,closed_on,appliance_kind,symptom,disposition,technician"
    path.write_text("\n".join([head, *rows]) + "\n", encoding="utf-8")
    return path


def technicians(folder: Path) -> dict[str, int]:
    """Count the jobs of each technician as loaded."""
    rows = run(folder, "pages/written_names")
    return dict(rows[rows["field"] == "technician"][["name", "jobs"]].values.tolist())


def test_a_confirmed_spelling_joins_all_history_and_can_be_undone(tmp_path: Path, capsys):
    folder = tmp_path / "db"
    load([jobs_file(tmp_path)], folder)
    assert technicians(folder) == {"John Smith": 2, "Smith, J.": 2}
    same = AcceptedWord("canonical", "technician", "Smith, J.", "John Smith")
    accept_words(folder, [same])
    assert technicians(folder) == {"John Smith": 4}
    assert cli.main(["names", "--db", str(folder)]) == 0
    out = capsys.readouterr().out
    assert "undo: ohmhours accept canonical technician 'Smith, J.' --undo" in out
    assert "1 spellings are joined, 0 more may be." in out
    undo = ["accept", "canonical", "technician", "Smith, J.", "--undo", "--db", str(folder)]
    assert cli.main(undo) == 0
    assert cli.main(undo) == 1  # it was taken back: nothing is left to undo
    capsys.readouterr()
    assert technicians(folder) == {"John Smith": 2, "Smith, J.": 2}
    assert cli.main(["names", "--db", str(folder)]) == 0
    assert "join: ohmhours accept canonical technician 'Smith, J.'" in capsys.readouterr().out
