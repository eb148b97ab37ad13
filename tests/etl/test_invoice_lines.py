"""Invoice lines: several rows are one job; amounts and minutes agree with a recount in pandas."""

import re
from dataclasses import replace
from pathlib import Path

import pandas as pd
import pytest

from etl.folder.errors import UserError
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
    lines = lines[
        ~lines["Invoice"].isin(["5004", "5005"])
    ]  # an amount and a type that cannot be read
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


# an invented shop that writes no hours: they stand in the quantity of its labor lines
IN_QUANTITY = """Inv,Date,Appliance,Status,Type,Qty,UM,Price,Amount,VAT,Total
1,2026-01-05,Fridge,Paid,labor,1.25,,95.00,118.75,23.75,142.50
1,2026-01-05,Fridge,Paid,part,2,EA,10.00,20.00,4.00,24.00
2,2026-01-06,Washer,Paid,labor,0.5,,95.00,47.50,9.50,57.00
2,2026-01-06,Washer,Paid,labor,-0.25,,95.00,-23.75,-4.75,-28.50
2,2026-01-06,Washer,Paid,total,,,,23.75,4.75,28.50
3,2026-01-07,Dishwasher,Paid,labor,1.5,HR,95.00,142.50,28.50,171.00
3,2026-01-07,Dishwasher,Paid,trip,20,min,,30.00,6.00,36.00
3,2026-01-07,Dishwasher,Paid,discount,1,EA,10.00,10.00,2.00,12.00
4,2026-01-08,Washer,Paid,labor,one,,95.00,95.00,19.00,114.00
"""
QUANTITY_COLUMNS = {
    "job_id": "Inv",
    "opened_on": "Date",
    "closed_on": "Date",
    "appliance_kind": "Appliance",
    "disposition": "Status",
    "line_type": "Type",
    "line_quantity": "Qty",
    "line_unit": "UM",
    "line_price": "Price",
    "line_amount": "Amount",
    "line_tax": "VAT",
    "line_amount_with_tax": "Total",
}
PAID = {"disposition": {"Paid": "repaired"}}


def of_quantities(tmp_path: Path, columns: dict[str, str], **keys) -> Path:
    """Load the lines by a mapping; return the database."""
    table = {"table": "jobs", "files": ["*"], "columns": columns} | keys
    path = write(tmp_path / "inv.csv", IN_QUANTITY)
    loaded(path, tmp_path / "db", mapping("quarter", table, words=PAID))
    return tmp_path / "db"


def sums(folder: Path) -> list[tuple]:
    found = rows(
        folder, "SELECT charged, tax, labour_min, travel_min FROM core.jobs ORDER BY job_id"
    )
    return [
        tuple(round(float(x), 2) for x in row) for row in found.fillna(0).itertuples(index=False)
    ]


def test_the_quantity_of_labor_lines_is_their_time_where_the_mapping_says_so(tmp_path):
    """1.25 of labor at 95.00 is 75 minutes; a credit subtracts its time, a unit wins."""
    folder = of_quantities(tmp_path, QUANTITY_COLUMNS, units={"line_quantity": "hours"})
    assert sums(folder) == [(138.75, 27.75, 75, 0), (23.75, 4.75, 15, 0), (162.5, 32.5, 90, 20)]
    problems = rows(folder, "SELECT code, field, text FROM core.problems WHERE field <> 'job_id'")
    assert problems.values.tolist() == [["number_not_understood", "line_quantity", "one"]]


def test_a_quantity_is_no_time_without_the_mapping(tmp_path):
    folder = of_quantities(tmp_path, QUANTITY_COLUMNS)
    assert [minutes for _, _, minutes, _ in sums(folder)] == [0, 0, 90, 0]


def test_amounts_with_tax_are_charged_without_it(tmp_path):
    """The net amount of a line is what it costs less its tax; its tax is kept apart."""
    columns = {k: v for k, v in QUANTITY_COLUMNS.items() if k not in ("line_amount", "line_price")}
    folder = of_quantities(tmp_path, columns)
    assert [(c, t) for c, t, *_ in sums(folder)][:3] == [
        (138.75, 27.75), (23.75, 4.75), (162.5, 32.5),
    ]  # fmt: skip


@pytest.mark.parametrize(
    ("columns", "constants", "charged", "tax"),
    [
        ({"charged_with_tax": "Gross", "tax": "VAT"}, {}, 100.0, 20.0),
        ({"charged_with_tax": "Gross"}, {"tax_rate": "20"}, 100.0, 20.0),
        ({"charged_with_tax": "Gross", "charged": "Net"}, {}, 100.0, 20.0),
        ({"charged": "Net", "tax_rate": "Rate"}, {}, 100.0, 20.0),
        ({"charged": "Net", "tax": "VAT", "charged_with_tax": "Gross"}, {}, 100.0, 20.0),
    ],
)
def test_tax_is_no_revenue_whichever_columns_there_are(tmp_path, columns, constants, charged, tax):
    path = write(
        tmp_path / "jobs.csv",
        "No,Day,Kind,State,Net,VAT,Gross,Rate\n1,2026-01-05,Fridge,Paid,100.00,20.00,120.00,20 %\n",
    )
    own = {"job_id": "No", "opened_on": "Day", "closed_on": "Day", "appliance_kind": "Kind"}
    own |= {"disposition": "State"} | columns
    table = {"table": "jobs", "files": ["*"], "columns": own, "constants": constants}
    loaded(path, tmp_path / "db", mapping("taxed", table, words=PAID))
    found = rows(tmp_path / "db", "SELECT charged, tax FROM core.jobs").iloc[0]
    assert (float(found["charged"]), float(found["tax"])) == (charged, tax)


def test_an_amount_with_tax_alone_is_refused_with_what_to_write():
    columns = {"job_id": "No", "opened_on": "Day", "appliance_kind": "Kind", "disposition": "State"}
    table = {"table": "jobs", "files": ["*"], "columns": columns | {"charged_with_tax": "Gross"}}
    with pytest.raises(UserError, match='tax_rate = "20"'):
        mapping("taxed", table)
