"""Invoice lines of shops without a mapping: from the file to the database."""

import tomllib
from pathlib import Path

import pandas as pd
import pyarrow as pa
import pytest

from etl.load import load
from etl.mapping.accepted_words import AcceptedWord
from etl.mapping.line_words import guessed_type
from etl.mapping.mapping import Mapping, mapping_from
from etl.mapping.propose_all import mapping_of_all
from etl.mapping.propose_lines import propose_tables
from etl.mapping.spellings import same_names
from etl.mapping.time_unit import unit_of_values
from etl.mapping.toml_writer import mapping_text
from etl.read import read_tables
from etl.rebuild import accept_words
from tests.etl.mapping.lines.shops import SHOPS, Shop, recount, write
from tests.etl.rows import rows

SUMS = "charged, labour_charged, parts_charged, tax, labour_min, travel_min"


def proposed(path: Path) -> tuple[Mapping, list[str]]:
    """Return the mapping that the text of a proposal is read as, and what is asked."""
    found = [p for source in read_tables(path) for p in propose_tables(source)]
    text = mapping_text(mapping_of_all(path.stem, found))
    asked = [*(a for p in found for a in p.asked), *(m for p in found for m in p.missing)]
    return mapping_from(tomllib.loads(text), path.name), asked


@pytest.fixture(scope="module", params=SHOPS)
def loaded(request, tmp_path_factory: pytest.TempPathFactory) -> tuple[Shop, Path, Path]:
    """A shop's export, and its database by the proposal alone."""
    shop, folder = SHOPS[request.param], tmp_path_factory.mktemp(request.param)
    path = write(shop, folder / f"{shop.name}.csv")
    mapping, asked = proposed(path)
    assert asked == []
    account = load([path], folder / "db", mapping=mapping)
    assert account.quarantined == 0, account
    return shop, path, folder / "db"


def test_every_money_and_minute_column_agrees_with_a_recount(loaded):
    shop, path, folder = loaded
    ours = rows(folder, f"SELECT job_id, {SUMS} FROM core.jobs ORDER BY job_id")
    ours = ours.set_index("job_id").astype(float).fillna(0.0)
    expected = recount(shop, path)
    assert len(expected) == 60
    pd.testing.assert_frame_equal(ours, expected, check_names=False, atol=0.0001)


def test_all_jobs_are_closed_on_the_day_of_their_invoice(loaded):
    shop, path, folder = loaded
    ours = rows(folder, "SELECT closed_on FROM core.jobs ORDER BY job_id")["closed_on"]
    days = pd.read_csv(path, sep=shop.delimiter, dtype=str).groupby(shop.headers["job"]).first()
    written = pd.to_datetime(days[shop.headers["day"]], format=shop.day)
    assert list(pd.to_datetime(ours)) == list(written)


def test_part_lines_are_the_lines_of_parts(loaded):
    shop, path, folder = loaded
    lines = pd.read_csv(path, sep=shop.delimiter, dtype=str, keep_default_na=False)
    parts = lines[lines[shop.headers["type"]] == shop.types["part"]]
    expected = parts[shop.headers["quantity"]].astype(int).groupby(parts[shop.headers["item"]])
    ours = rows(folder, "SELECT part_no, quantity FROM core.part_lines")
    assert ours.groupby("part_no")["quantity"].sum().to_dict() == expected.sum().to_dict()


def test_complaints_kinds_and_readings_in_notes_are_understood(loaded):
    _, _, folder = loaded
    unknown = rows(folder, "SELECT text FROM core.unknown_words WHERE field <> 'component'")
    assert unknown.empty, unknown
    assert rows(folder, "SELECT count(*) AS n FROM core.readings")["n"][0] > 10


def test_confirmed_spellings_leave_one_name_for_each_technician(loaded):
    shop, path, folder = loaded
    jobs = rows(folder, "SELECT technician, count(*) AS n FROM core.visits GROUP BY ALL")
    if jobs.empty:
        jobs = rows(folder, "SELECT technician, count(*) AS n FROM core.jobs GROUP BY ALL")
    pairs = same_names(dict(zip(jobs["technician"], jobs["n"], strict=True)), "technician")
    assert {(p.spelling, p.name) for p in pairs} == {
        (short, full) for full, short in shop.crew.values()
    }
    accept_words(folder, [AcceptedWord(path.stem, "technician", p.spelling, p.name) for p in pairs])
    after = rows(folder, "SELECT DISTINCT technician FROM core.jobs")["technician"]
    assert set(after) == set(shop.crew)


AMBIGUOUS = [("T", None), ("TRV", "trip"), ("DSC", None), ("Arbeitslohn", "labor")]
AMBIGUOUS += [
    ("Labor - standard", "labor"),
    ("Zebra", None),
    ("P", None),
    ("Labor and parts", None),
]


@pytest.mark.parametrize(("word", "kind"), AMBIGUOUS)
def test_a_word_with_two_possible_types_has_none(word: str, kind: str | None):
    assert guessed_type(word) == kind


def test_lines_that_only_subtract_are_the_discount_of_two_possible_types():
    assert guessed_type("DSC", [-5.0, -12.5]) == "discount"
    assert guessed_type("DSC", [5.0, -12.5]) is None


def test_what_nothing_says_is_asked(tmp_path: Path):
    """A type of one letter, and times that may be hours or minutes."""
    path = tmp_path / "export.csv"
    lines = "".join(
        f"{5000 + n},2026-01-{n:02d},washer,Paid,Labor,90.00,{n + 3}\n"
        f"{5000 + n},2026-01-{n:02d},washer,Paid,T,9.00,\n"
        for n in range(1, 13)
    )
    path.write_text(f"Job,Date,Appliance,Status,Line Type,Amount,Time\n{lines}", encoding="utf-8")
    _, asked = proposed(path)
    assert any('type "T"' in question and "12 lines" in question for question in asked), asked
    assert any("hours or minutes" in question for question in asked), asked


TIMES = [
    (["0.75", "1.5", "2", "0.25", "1"], "hours"),
    (["0,75", "1,5", "2", "0,25", "1"], "hours"),
    (["45", "90", "30", "60", "25"], "minutes"),
    (["1", "2", "3", "4", "5"], None),  # whole hours, or short calls
    (["8", "90", "12", "7", "428"], None),
    (["45.5", "90", "30.5", "60", "25"], None),
    (["1h15", "90 min", "", "2 h", "45 min"], ""),
    (["0.5", "1.5"], None),  # too few
]


@pytest.mark.parametrize(("cells", "unit"), TIMES)
def test_hours_and_minutes_by_values_alone_only_where_they_leave_no_choice(cells, unit):
    assert unit_of_values([pa.chunked_array([cells])]) == unit


def test_two_files_of_one_form_with_another_header_share_a_table_that_takes_either(tmp_path: Path):
    body = "".join(f"{{}}{n},2026-01-{n:02d},washer,done,Ann Lee,30\n" for n in range(1, 12))
    for month, tech in (("jan", "Technician"), ("feb", "Tech")):
        head = f"Job No,Opened,Appliance,Status,{tech},Minutes\n"
        (tmp_path / f"{month}.csv").write_text(head + body.format(*[month] * 11), encoding="utf-8")
    found = [p for m in ("jan", "feb") for p in propose_tables(*read_tables(tmp_path / f"{m}.csv"))]
    (table,) = mapping_of_all("shop", found).tables
    assert table.first_of == {"technician": ("Technician", "Tech")}
    assert table.files == ("jan.csv", "feb.csv")
    text = mapping_text(mapping_of_all("shop", found))
    mapping = mapping_from(tomllib.loads(text), "shop")
    load([tmp_path / "jan.csv", tmp_path / "feb.csv"], tmp_path / "db", mapping=mapping)
    named = rows(
        tmp_path / "db", "SELECT count(*) AS n FROM core.jobs WHERE technician = 'Ann Lee'"
    )
    assert named["n"][0] == 22
