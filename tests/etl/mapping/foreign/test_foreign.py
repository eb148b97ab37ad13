"""From a foreign export to the database by the proposal alone: money and minutes to the cent.

What is recounted are the facts that the files were written from, in pandas, with no code of ours.
"""

import tomllib
from pathlib import Path

import pandas as pd
import pytest

from etl.load import load
from etl.mapping.mapping import Mapping, mapping_from
from etl.mapping.propose_all import mapping_of_all
from etl.mapping.propose_lines import propose_tables
from etl.mapping.spellings import same_names
from etl.mapping.toml_writer import mapping_text
from etl.read import read_tables
from tests.etl.mapping.foreign.facts import Job
from tests.etl.mapping.foreign.shops import SHOPS, Shop, line_tax
from tests.etl.rows import rows

MONEY = ["charged", "labour_charged", "parts_charged", "tax"]
MINUTES = ["labour_min", "travel_min"]
NOT_WRITTEN = {"fr": ["travel_min"], "us_sheets": ["labour_charged", "parts_charged"]}


def proposed(paths: list[Path], name: str) -> tuple[Mapping, list[str]]:
    """Return the mapping that the text of the proposal is read as, and what is asked."""
    found = [p for path in paths for source in read_tables(path) for p in propose_tables(source)]
    text = mapping_text(mapping_of_all(name, found))
    return mapping_from(tomllib.loads(text), name), [
        a for p in found for a in (*p.asked, *p.missing)
    ]


@pytest.fixture(scope="module", params=SHOPS)
def loaded(request, tmp_path_factory: pytest.TempPathFactory) -> tuple[Shop, list[Job], Path]:
    """A shop, its jobs, and its database by the proposal alone."""
    shop, folder = SHOPS[request.param], tmp_path_factory.mktemp(request.param)
    drawn = shop.jobs()
    paths = shop.write(shop, folder, drawn)
    mapping, asked = proposed(paths, shop.name)
    assert asked == []
    account = load(paths, folder / "db", mapping=mapping)
    assert account.quarantined == 0, account
    return shop, drawn, folder / "db"


def truth(shop: Shop, drawn: list[Job]) -> pd.DataFrame:
    """Return money in units and minutes by job number, as the facts say."""
    is_fr = shop.name == "fr"
    table = pd.DataFrame(
        {
            "job_id": [f"F{j.number}" if is_fr else str(j.number) for j in drawn],
            "charged": [j.net for j in drawn],
            "labour_charged": [j.labor if is_fr else j.net - j.of_parts for j in drawn],
            "parts_charged": [j.of_parts for j in drawn],
            "tax": [_tax_of_lines(j) if is_fr else j.tax for j in drawn],
            "labour_min": [j.minutes for j in drawn],
            "travel_min": [j.travel for j in drawn],
        }
    )
    table = table.set_index("job_id").astype(float).sort_index()
    table[MONEY] = table[MONEY] / 100
    table[NOT_WRITTEN.get(shop.name, [])] = 0.0
    return table


def _tax_of_lines(job: Job) -> int:
    lines = [job.labor, job.trip, -job.discount, *(n * price for _, _, n, price in job.parts)]
    return sum(line_tax(cents, job.rate) for cents in lines)


def test_every_money_and_minute_column_agrees_with_the_facts(loaded):
    shop, drawn, folder = loaded
    ours = rows(folder, "SELECT * FROM core.jobs").set_index("job_id").sort_index()
    if ours["labour_min"].isna().all():  # a shop with visits
        visits = rows(
            folder,
            "SELECT job_id, sum(labour_min) AS labour_min, sum(travel_min) AS travel_min "
            "FROM core.visits GROUP BY job_id",
        ).set_index("job_id")
        ours[MINUTES] = visits[MINUTES]
    found = ours[[*MONEY, *MINUTES]].astype(float).fillna(0.0)
    expected = truth(shop, drawn)
    pd.testing.assert_frame_equal(found[MONEY], expected[MONEY], check_names=False, atol=1e-4)
    # hours of four decimals are exact to 0.006 of a minute
    pd.testing.assert_frame_equal(found[MINUTES], expected[MINUTES], check_names=False, atol=0.01)


def test_every_job_visit_and_part_is_there(loaded):
    shop, drawn, folder = loaded
    counts = {t: rows(folder, f"SELECT count(*) AS n FROM core.{t}")["n"][0] for t in ("jobs",)}
    assert counts == {"jobs": len(drawn)}
    if shop.most_visits > 1:
        visits = rows(folder, "SELECT count(*) AS n FROM core.visits")["n"][0]
        assert visits == sum(len(job.visits) for job in drawn)
    pieces = rows(folder, "SELECT coalesce(sum(quantity), 0) AS n FROM core.part_lines")["n"][0]
    if shop.name != "de":  # which writes no part numbers
        assert pieces == sum(n for job in drawn for _, _, n, _ in job.parts)


def test_two_spellings_of_each_technician_are_proposed_as_one(loaded):
    shop, _, folder = loaded
    found = rows(
        folder,
        "SELECT technician, count(*) AS n FROM (SELECT technician FROM core.visits UNION ALL "
        "SELECT technician FROM core.jobs) AS t WHERE technician IS NOT NULL GROUP BY ALL",
    )
    names = dict(zip(found["technician"], found["n"], strict=True))
    pairs = {(p.spelling, p.name) for p in same_names(names, "technician")}
    assert pairs == {(short, full) for full, short in shop.crew.items()}


def test_words_and_readings_are_understood(loaded):
    shop, _, folder = loaded
    unknown = rows(
        folder,
        "SELECT field, text FROM core.unknown_words WHERE field NOT IN ('component', 'test_point')",
    )
    assert unknown.empty, unknown
    if shop.name in ("uk", "us_sheets"):
        assert rows(folder, "SELECT count(*) AS n FROM core.readings")["n"][0] > 10


POSTCODES = {"Postcode", "CP", "Ville", "Kunde PLZ", "ZIP"}


@pytest.mark.parametrize("name", SHOPS)
def test_no_customer_is_a_postcode(name: str, tmp_path: Path):
    """A place is no customer: two households there would be one."""
    shop = SHOPS[name]
    mapping, _ = proposed(shop.write(shop, tmp_path, shop.jobs()), name)
    jobs = next(table for table in mapping.tables if table.table == "jobs")
    assert jobs.columns["customer"]
    assert POSTCODES.isdisjoint(h for headers in jobs.columns.values() for h in headers)
