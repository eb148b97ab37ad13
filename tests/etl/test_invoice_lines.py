"""Invoice lines: several rows are one job; amounts and minutes agree with a recount in pandas."""

import re
from dataclasses import replace
from pathlib import Path

import pandas as pd
import pytest

from etl.load import load
from tests.etl.exports import loaded, mapping, of_table, write
from tests.etl.rows import rows

# an invented shop; every habit of writing money and hours that its office has
INVOICES = """Invoice,Date,Appliance,Type,Item,Qty,Price,Ext,Hrs,Status,Acct
5001,01/05/2026,Fridge,LAB,Diagnose and replace,1.5,$90.00,$135.00,1.5,Paid,C1
5001,01/05/2026,Fridge,PRT,DH-100,1,$38.40,$38.40,,Paid,C1
5001,01/05/2026,Fridge,PRT,DH-100,1,$38.40,$38.40,,Paid,C1
5001,01/05/2026,Fridge,PRT,TS-7,2,12.25,,,Paid,C1
5001,01/05/2026,Fridge,TRV,Trip,1,45.00,45.00,0.75,Paid,C1
5001,01/05/2026,Fridge,DSC,Spring coupon,1,15.00,15.00,,Paid,C1
5001,01/05/2026,Fridge,TAX,Sales tax,1,,"$9.62",,Paid,C1
5001,01/05/2026,Fridge,TOT,Amount due,,,"$300.92",,Paid,C1
5002,01/06/2026,Washer,LAB,Pump,0.333,90.00,29.97,1:20,Paid,C2
5002,01/06/2026,Washer,PRT,PMP-3,1,"1,031.20","1,031.20",,Paid,C2
5002,01/06/2026,Washer,PRT,PMP-3,-1,"1,031.20","(1,031.20)",,Paid,C2
5002,01/06/2026,Washer,FEE,Shop supplies,1,4.50,4.50,,Paid,C2
5003,01/07/2026,Dishwasher,LAB,Redo,1,90.00,N/C,0.5,Paid,C3
5003,01/07/2026,Dishwasher,DSC,Goodwill,1,,20.00-,,Paid,C3
5004,01/08/2026,Washer,LAB,Belt,1,90.00,ninety,1,Paid,C4
5004,01/08/2026,Washer,PRT,BLT-2,1,19.95,19.95,,Paid,C4
5005,01/09/2026,Washer,WAT,?,1,10.00,10.00,,Paid,C5
"""
BY = mapping(
    "elm",
    {
        "table": "jobs",
        "files": ["invoices*.csv"],
        "columns": {
            "job_id": "Invoice",
            "opened_on": "Date",
            "closed_on": "Date",
            "appliance_kind": "Appliance",
            "disposition": "Status",
            "customer": "Acct",
            "line_type": "Type",
            "line_amount": "Ext",
            "line_quantity": "Qty",
            "line_price": "Price",
            "line_minutes": "Hrs",
        },
    },
    {
        "table": "part_lines",
        "files": ["invoices*.csv"],
        "columns": {
            "job_id": "Invoice",
            "line_type": "Type",
            "part_no": "Item",
            "quantity": "Qty",
            "unit_charge": "Price",
        },
        "constants": {},
    },
    date_order="MDY",
    words={
        "disposition": {"Paid": "repaired"},
        "line_type": {
            "LAB": "labor", "PRT": "part", "TRV": "trip", "DSC": "discount", "TOT": "total",
        },
    },
)  # fmt: skip


@pytest.fixture(scope="module")
def shop(tmp_path_factory: pytest.TempPathFactory) -> tuple[Path, Path, object]:
    """The export, the database, and the account of its load."""
    folder = tmp_path_factory.mktemp("elm")
    path = write(folder / "invoices.csv", INVOICES)
    return path, folder / "db", loaded(path, folder / "db", BY)


def cents(text: str) -> float | None:
    """Read an amount as an office means it, with nothing of our own code."""
    if text in ("", "N/C"):
        return None if text == "" else 0.0
    bare = re.sub(r"[$,()]|-$", "", text)
    sign = -1 if text.startswith("(") or text.endswith("-") else 1
    return round(sign * float(bare), 2)


def hours(text: str) -> float:
    if ":" in text:
        whole, part = text.split(":")
        return int(whole) * 60 + int(part)
    return float(text) * 60 if text else 0.0


def recount(path: Path) -> pd.DataFrame:
    """Sum every money and minute column in pandas, by invoice."""
    lines = pd.read_csv(path, dtype=str, keep_default_na=False)
    lines = lines[~lines["Invoice"].isin(["5004", "5005"])]  # an amount and a type nobody can read
    amount = lines["Ext"].map(cents)
    priced = lines["Qty"].replace("", "0").astype(float) * lines["Price"].map(cents).fillna(0.0)
    lines["amount"] = amount.fillna(priced.round(2))
    lines.loc[lines["Type"] == "DSC", "amount"] = -lines["amount"].abs()
    lines["minutes"] = lines["Hrs"].map(hours)
    said = lines[lines["Type"] != "TOT"]

    def total(column: str, *types: str) -> pd.Series:
        chosen = said[said["Type"].isin(types)]
        return chosen.groupby("Invoice")[column].sum().round(2)

    return pd.DataFrame(
        {
            "charged": total("amount", "LAB", "PRT", "TRV", "DSC", "FEE"),
            "labour_charged": total("amount", "LAB"),
            "parts_charged": total("amount", "PRT"),
            "tax": total("amount", "TAX"),
            "labour_min": total("minutes", "LAB"),
            "travel_min": total("minutes", "TRV"),
        }
    )


def test_every_sum_agrees_with_a_recount_to_the_cent_and_the_minute(shop):
    path, folder, _ = shop
    columns = "charged, labour_charged, parts_charged, tax, labour_min, travel_min"
    ours = rows(folder, f"SELECT job_id, {columns} FROM core.jobs ORDER BY job_id")
    ours = ours.set_index("job_id").astype(float).round(2)
    expected = recount(path).astype(float)
    assert list(ours.index) == list(expected.index) == ["5001", "5002", "5003"]
    pd.testing.assert_frame_equal(
        ours.fillna(0.0), expected.fillna(0.0), check_names=False, atol=0.001
    )


def test_a_line_that_cannot_be_read_makes_its_whole_job_wait(shop):
    """A sum without the line would be wrong. All lines are handed out to be corrected."""
    account = of_table(shop[2], "jobs")
    assert (account.read, account.loaded, account.quarantined) == (17, 14, 3)
    assert account.reasons == {"number_not_understood": 2, "unknown_word": 1}


def test_one_file_gives_jobs_and_part_lines_and_equal_lines_add_up(shop):
    """The equal lines of DH-100 are two pieces; labor, trip and tax lines are not parts."""
    parts = rows(
        shop[1],
        "SELECT part_no, sum(quantity) AS pieces FROM core.part_lines WHERE job_id = '5001' "
        "GROUP BY part_no ORDER BY part_no",
    )
    assert list(parts.itertuples(index=False, name=None)) == [("DH-100", 2.0), ("TS-7", 2.0)]
    assert of_table(shop[2], "part_lines").read == 7  # six parts, and the line of unknown type


def test_loading_it_again_changes_nothing_and_each_table_keeps_the_other(shop, tmp_path: Path):
    """Sources are known by bytes, mapping and table."""
    path, _, _ = shop
    for by in (only("jobs"), only("part_lines"), BY, BY):
        account = loaded(path, tmp_path / "db", by)
    assert [file.loaded for file in account.files] == [0, 0]
    assert rows(tmp_path / "db", "SELECT count(*) AS n FROM core.jobs").n[0] == 3
    assert rows(tmp_path / "db", "SELECT count(*) AS n FROM core.part_lines").n[0] > 0


def only(table: str):
    """Return the mapping with one of its tables."""
    return replace(BY, tables=tuple(t for t in BY.tables if t.table == table))


def test_a_corrected_export_of_the_lines_supersedes_the_sum(shop, tmp_path: Path):
    path, _, _ = shop
    load([path], tmp_path / "db", mapping=BY)
    fixed = write(tmp_path / "invoices_feb.csv", INVOICES.replace("$135.00", "$145.00"))
    loaded(fixed, tmp_path / "db", BY)
    charged = rows(tmp_path / "db", "SELECT charged FROM core.jobs WHERE job_id = '5001'")
    assert float(charged.charged[0]) == float(recount(path).charged["5001"]) + 10
