"""Part lines: a part that went back subtracts; an unknown answer is asked for."""

from pathlib import Path

import pytest

from etl.load_report import Account
from etl.mapping.accepted_words import AcceptedWord
from etl.rebuild import accept_words
from tests.etl.exports import jobs_table, loaded, mapping, of_table, write
from tests.etl.rows import rows

JOBS = "Job,In,Out,Unit,End\n" + "".join(
    f"{n},2026-01-05,2026-01-06,washer,repaired\n" for n in (1, 2, 3)
)
PARTS = """Job,PN,What,Qty,Cost,Van,Shelf
1,DP1,drain pump,1,40.00,tak,yes
1,DP1,drain pump,-1,40.00,tak,
1,LK2,lid lock,2,12.50,nej,no
2,DP1,drain pump,2,40.00,yes,tak
2,DP1,drain pump,-1,40.00,no,
3,DP1,drain pump,20000,40.00,,
"""


@pytest.fixture
def shop(tmp_path: Path) -> tuple[Path, Account]:
    by = mapping(
        "flat",
        jobs_table() | {"files": "jobs.csv"},
        {
            "table": "part_lines",
            "files": "parts.csv",
            "columns": {
                "job_id": "Job", "part_no": "PN", "component": "What", "quantity": "Qty",
                "unit_cost": "Cost", "from_van": "Van", "on_hand": "Shelf",
            },
        },
    )  # fmt: skip
    paths = [write(tmp_path / "jobs.csv", JOBS), write(tmp_path / "parts.csv", PARTS)]
    return tmp_path / "db", loaded(paths, tmp_path / "db", by)


def table(shop: tuple[Path, Account], query: str) -> list[tuple]:
    return list(rows(shop[0], query).itertuples(index=False, name=None))


def test_a_part_that_went_back_subtracts_its_pieces_and_its_cost(shop):
    assert of_table(shop[1], "part_lines").reasons == {"quantity_not_possible": 1}
    costs = "SELECT job_id, parts_cost FROM core.job_facts ORDER BY job_id LIMIT 2"
    assert table(shop, costs) == [("1", 25.0), ("2", 40.0)]
    needs = "SELECT job_id, component, pieces FROM core.fitted_parts ORDER BY ALL"
    assert table(shop, needs) == [("1", "lid_lock", 2.0), ("2", "drain_pump", 1.0)]


def test_unknown_answers_are_counted_and_asked_for(shop):
    asked = {(field, text): n for field, _, text, n in shop[1].unknown_words}
    assert asked == {("yes_no", "tak"): 3, ("yes_no", "nej"): 1}
    accept_words(
        shop[0],
        [AcceptedWord("flat", "yes_no", "tak", "yes"), AcceptedWord("flat", "yes_no", "nej", "no")],
    )
    assert table(shop, "SELECT * FROM core.unknown_words") == []
    van = "SELECT count(*), count(*) FILTER (WHERE is_from_van) FROM core.part_lines"
    assert table(shop, van) == [(5, 3)]
