"""Cells of flat tables: lists of parts, amounts, kinds without a fuel, hostile lengths."""

import time
from pathlib import Path

import pytest

from etl.raw.land_parts import parts_in
from tests.etl.exports import jobs_table, loaded, mapping, write
from tests.etl.rows import rows

PARTS = [
    ("PN1 x 2; PN2", [("PN1", "2"), ("PN2", "1")]),
    ("2 x PN1", [("PN1", "2")]),
    ("PN1 (2)", [("PN1", "2")]),
    ("PN1 (qty 3), PN2", [("PN1", "3"), ("PN2", "1")]),
    ("PN1, PN2", [("PN1", "1"), ("PN2", "1")]),
    ("PN1\nPN1", [("PN1", "1"), ("PN1", "1")]),
    ("AB1X2", [("AB1X2", "1")]),
    ("none", []),
    ("n/a", []),
    ("-", []),
    ("", []),
    ('[{"pn": "X1", "qty": 2}]', [('[{"pn": "X1", "qty": 2}]', "1")]),
]
HOSTILE = [
    "a" + " " * 200_000 + "x" + " " * 200_000 + "1", " x" * 200_000, "1 x " * 200_000,
    "(" * 400_000, "x" * 400_000 + "2", "9" * 400_000, "PN " + "(1)" * 100_000, ";" * 400_000,
]  # fmt: skip


@pytest.mark.parametrize(("cell", "parts"), PARTS)
def test_a_cell_of_parts_is_read(cell: str, parts: list[tuple[str, str]]):
    assert list(parts_in(cell)) == parts


@pytest.mark.parametrize("cell", HOSTILE, ids=range(len(HOSTILE)))
def test_a_hostile_cell_of_parts_takes_linear_time(cell: str):
    """The pattern before was quadratic: 200,000 blanks took over a minute."""
    began = time.perf_counter()
    list(parts_in(cell))
    assert time.perf_counter() - began < 2


JOBS = """Job,In,Out,Unit,End,Says,Acct,Total,Parts,Found
1,2026-01-05,2026-01-06,range,repaired,oven won't heat,a,(45.00),PN1; PN1,bake element open
2,2026-01-05,2026-01-06,range,repaired,oven won't heat,b,N/C,none,igniter cracked
3,2026-01-05,2026-01-06,range,repaired,oven won't heat,c,12.50-,$12.00,
4,2026-01-20,2026-01-21,gas range,repaired,oven won't heat,c,warranty,PN9,
5,2026-01-05,2026-01-06,espresso machine,repaired,no steam,d,"$1,234.50",PN1 (2),
6,2026-01-05,2026-01-06,washer,repaired,leaks,e,1.234,PN1,
7,2026-01-05,2026-01-06,washer,repaired,leaks,e,99999999999999999999,PN1 x 99999,
"""


@pytest.fixture(scope="module")
def shop(tmp_path_factory: pytest.TempPathFactory) -> tuple[Path, object]:
    """One flat table of messy cells."""
    folder = tmp_path_factory.mktemp("flat")
    by = mapping(
        "flat",
        jobs_table(
            symptom="Says", customer="Acct", charged="Total", parts="Parts", root_cause="Found"
        ),
    )
    account = loaded(write(folder / "jobs.csv", JOBS), folder / "db", by)
    return folder / "db", account


def jobs(shop: tuple[Path, object], column: str) -> dict[str, object]:
    found = rows(shop[0], f"SELECT job_id, {column} AS said FROM core.jobs")
    return dict(zip(found.job_id, found.said, strict=True))


def test_amounts_in_every_habit_of_writing(shop):
    charged = {job: float(amount) for job, amount in jobs(shop, "charged").items()}
    assert charged == {"1": -45.0, "2": 0.0, "3": -12.5, "4": 0.0, "5": 1234.5}


def test_an_amount_that_can_mean_two_sums_is_asked_about(shop):
    assert shop[1].files[0].reasons == {"amount_ambiguous": 1, "number_not_understood": 1}


def test_the_fuel_is_inferred_from_the_words_of_the_part(shop):
    kinds = jobs(shop, "appliance_kind")
    assert (kinds["1"], kinds["2"], kinds["3"]) == ("range_electric", "range_gas", "range")


def test_a_kind_without_fuel_has_the_complaints_that_its_kinds_share(shop):
    assert jobs(shop, "symptom")["3"] == jobs(shop, "symptom")["4"] == "oven_no_bake"


def test_a_kind_without_fuel_is_the_same_appliance_as_with_it(shop):
    """The customer's range came back as a gas range."""
    links = rows(shop[0], "SELECT first_job, callback_job FROM core.callback_links")
    assert list(links.itertuples(index=False, name=None)) == [("3", "4")]


def test_an_unknown_kind_is_loaded_with_its_money_and_listed(shop):
    assert jobs(shop, "appliance_kind")["5"] == "other_appliance"
    assert ("appliance_kind", "", "espresso machine", 1) in shop[1].unknown_words


def test_parts_add_up_and_what_is_no_part_number_waits(shop):
    parts = rows(
        shop[0],
        "SELECT job_id, part_no, sum(quantity) AS n FROM core.part_lines GROUP BY ALL ORDER BY ALL",
    )
    assert list(parts.itertuples(index=False, name=None)) == [
        ("1", "PN1", 2.0), ("4", "PN9", 1.0), ("5", "PN1", 2.0),
    ]  # fmt: skip
    waiting = rows(
        shop[0],
        "SELECT DISTINCT code FROM core.problems WHERE table_name = 'part_lines' ORDER BY 1",
    )
    assert "not_a_part_number" in list(waiting.code)


def test_job_numbers_are_made_of_day_and_customer_where_there_are_none(tmp_path: Path):
    table = {
        "table": "jobs",
        "make_job_number": True,
        "columns": {
            "opened_on": "In", "closed_on": "Out", "appliance_kind": "Unit", "disposition": "End",
            "customer": "Acct",
        },
        "first_of": {"charged": ["Invoice total", "Total"]},
    }  # fmt: skip
    account = loaded(write(tmp_path / "jobs.csv", JOBS), tmp_path / "db", mapping("made", table))
    found = rows(tmp_path / "db", "SELECT job_id, charged FROM core.jobs ORDER BY job_id")
    assert len(found) == 5  # two of one customer on one day wait, as does one amount
    assert all(job.startswith("2026-01-") and len(job) == 19 for job in found.job_id)
    assert float(found.charged.sum()) == pytest.approx(1177.0)
    assert "made of day and customer" in " ".join(account.files[0].notes)
