"""Approved prices: kept step by step, undone step by step, in one file that a backup holds."""

import threading
from datetime import date
from pathlib import Path

import pytest

from dashboard.access.page_roles import LEAD, PRICING
from dashboard.access.reader import Reader, Refused, read_as
from dashboard.cli.main import main
from dashboard.pricing.approvals import (
    COLUMNS,
    PricesError,
    approval,
    approve,
    read_approvals,
    undo,
)
from etl.folder.errors import UserError
from etl.folder.one_change import PRICES, one_change

PUMP = ("washer", "replace_drain_pump_washer", "")


def priced(price: float, code: str = PUMP[1]):
    """Return an approval of a washer's repair."""
    return approval(
        appliance_kind="washer", repair_code=code, price=price, effective_on=date(2026, 11, 1)
    )


def test_an_undo_brings_the_price_before_it_back_and_keeps_all_steps(tmp_path: Path):
    for price in (200.0, 240.0):
        approve(tmp_path, [priced(price)])
    assert read_approvals(tmp_path).current[PUMP].price == 240
    undo(tmp_path, PUMP)
    assert read_approvals(tmp_path).current[PUMP].price == 200
    undo(tmp_path, PUMP)
    assert read_approvals(tmp_path).current == {}
    assert [step.action for step in read_approvals(tmp_path).steps] == ["approve"] * 2 + [
        "undo"
    ] * 2
    with pytest.raises(PricesError, match="none can be undone"):
        undo(tmp_path, PUMP)


def test_the_file_reads_back_what_was_approved(tmp_path: Path):
    step = priced(123.45)
    approve(tmp_path, [step])
    assert read_approvals(tmp_path).steps == (step,)


def test_only_owner_and_pricing_approve(tmp_path: Path):
    try:
        read_as(Reader(LEAD, "lead@example.com"))
        with pytest.raises(Refused):
            approve(tmp_path, [priced(200)])
        read_as(Reader(PRICING, "prices@example.com"))
        approve(tmp_path, [priced(200)])
    finally:
        read_as(None)
    assert read_approvals(tmp_path).steps[0].role == PRICING
    assert "example.com" not in (tmp_path / PRICES).read_text(encoding="utf-8")


@pytest.mark.parametrize("price", [-1.0, float("nan"), float("inf"), 1e9])
def test_no_price_out_of_bounds_is_approved(price: float):
    with pytest.raises(PricesError, match="price is"):
        priced(price)


@pytest.mark.parametrize(
    ("cells", "named"),
    [
        ("2026-11-01T10:00:00Z,owner,approve,washer,x,,,abc,,,2026-11-01,,,", "line 2: price is"),
        ("2026-11-01T10:00:00Z,owner,burn,washer,x,,,10,,,2026-11-01,,,", "line 2: action is"),
        ("2026-11-01T10:00:00Z,owner,approve,washer,x,,,,,,2026-11-01,,,", "needs price"),
        ("2026-11-01T10:00:00Z,owner", "2 cells"),
    ],
)
def test_a_line_that_cannot_be_used_is_named(tmp_path: Path, cells: str, named: str):
    (tmp_path / PRICES).write_text(f"{','.join(COLUMNS)}\n{cells}\n", encoding="utf-8")
    with pytest.raises(PricesError, match=named):
        read_approvals(tmp_path)


def test_two_who_approve_at_once_lose_nothing(tmp_path: Path):
    threads = [
        threading.Thread(target=approve, args=(tmp_path, [priced(100 + n, f"code_{n}")]))
        for n in range(8)
    ]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    assert len(read_approvals(tmp_path).current) == 8


def test_a_change_that_waits_too_long_says_so(tmp_path: Path):
    with (
        one_change(tmp_path),
        pytest.raises(UserError, match="another change"),
        one_change(tmp_path, wait_s=0.1),
    ):
        pass


def test_the_command_approves_all_or_nothing_and_a_backup_brings_it_back(
    sample_copy: Path, tmp_path: Path, capsys
):
    db = ["--db", str(sample_copy)]
    wrong = ["prices", *db, "--approve", "washer/repair_wiring", "--approve", "washer/no_such"]
    assert main(wrong) == 1
    assert not (sample_copy / PRICES).exists()
    assert main(["prices", *db, "--approve", "washer/repair_wiring=275.50"]) == 0
    assert main(["backup", *db, str(tmp_path / "shop.zip")]) == 0
    assert main(["restore", "--db", str(tmp_path / "other"), str(tmp_path / "shop.zip")]) == 0
    restored = read_approvals(tmp_path / "other").current[("washer", "repair_wiring", "")]
    assert (restored.price, restored.records_through) == (275.5, date(2026, 10, 31))
    capsys.readouterr()


def test_a_backup_of_prices_that_cannot_be_read_is_refused(
    sample_copy: Path, tmp_path: Path, capsys
):
    (sample_copy / PRICES).write_text("nonsense\n", encoding="utf-8")
    assert main(["backup", "--db", str(sample_copy), str(tmp_path / "shop.zip")]) == 1
    assert "prices.csv, line 1" in capsys.readouterr().err
