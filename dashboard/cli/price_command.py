"""The command `prices`: the price list as text or file; approve, undo, history."""

import argparse
from typing import Any

from dashboard.cli.argument_types import add_filters, day, filters_of, path, text
from dashboard.cli.html_or_pdf import check_paper, write_paper
from dashboard.cli.shop import snapshot_of
from dashboard.cli.terminal import say
from dashboard.database.labels import read_labels
from dashboard.database.snapshot import Snapshot
from dashboard.errors import UserError
from dashboard.pricing import price_list_files as files
from dashboard.pricing.approvals import PricesError, approve, read_approvals, undo
from dashboard.pricing.new_approval import approval_of
from dashboard.pricing.price_list import PriceList
from dashboard.pricing.read_price_list import read_price_list
from dashboard.rows import each_row
from dashboard.text import format as words
from dashboard.text.escape_markdown import printable
from etl.folder.atomic_write import write_whole


def add_prices(added: "argparse._SubParsersAction[Any]", common: argparse.ArgumentParser) -> None:
    """Add the command."""
    command = added.add_parser(
        "prices",
        parents=[common],
        help="the price list of the whole shop: print it, write it as a file, approve prices",
        epilog="example: ohmhours prices --approve refrigerator/replace_defrost_heater=335; then: "
        "ohmhours prices --for-customers --out prices.pdf",
    )
    command.add_argument(
        "--out", type=path, metavar="FILE", help="a .csv, .html or .pdf file (default: as text)"
    )
    command.add_argument(
        "--for-customers", action="store_true", help="approved prices only, without cost or margin"
    )
    command.add_argument(
        "--approve", action="append", default=[], type=text, metavar="KIND/REPAIR[=PRICE]",
        help="approve a price, the proposed one or another; may be repeated",
    )  # fmt: skip
    command.add_argument(
        "--undo", type=text, metavar="KIND/REPAIR", help="take the last approval of a repair back"
    )
    command.add_argument(
        "--effective", type=day, metavar="DATE", help="the day from which new prices hold"
    )
    command.add_argument("--history", action="store_true", help="print every approval and undo")
    add_filters(command)
    command.set_defaults(run=prices)


def prices(chosen: argparse.Namespace) -> int:
    """Print, write or change the list; changes come first."""
    if chosen.out and chosen.out.suffix.lower() != ".csv":
        check_paper(chosen.out, "a price list")
    if chosen.for_customers and chosen.out and chosen.out.suffix.lower() == ".csv":
        raise UserError(f"{chosen.out}: the list for customers is written as .html or .pdf")
    snapshot = snapshot_of(chosen)
    if chosen.undo:
        step = undo(snapshot.folder, _key(chosen.undo))
        say(f"undone: {step.appliance_kind}/{step.repair_code}")
    made = read_price_list(snapshot, filters_of(chosen), chosen.effective)
    if chosen.approve:
        _approve(snapshot, made, chosen.approve)
        made = read_price_list(snapshot, filters_of(chosen), chosen.effective)
    if chosen.history:
        table = files.history_table(read_approvals(snapshot.folder).steps, read_labels(snapshot))
        say(printable(table.to_string(index=False)) if len(table) else "no price was approved yet")
    elif chosen.out:
        _write(chosen, made)
    elif not (chosen.approve or chosen.undo):
        say(printable(list_text(made)))
    return 0


def _approve(snapshot: Snapshot, made: PriceList, asked: list[str]) -> None:
    """Approve all that was asked, or nothing."""
    rows = {row.key: row for row in each_row(made.rows)}
    steps = []
    for each in asked:
        key, given, price = each.partition("=")
        if key not in rows:
            raise PricesError(f"{key[:80]!r} is no repair of this list; see ohmhours prices")
        steps.append(approval_of(made, rows[key], _number(each, price) if given else None))
    approve(snapshot.folder, steps)
    for step in steps:
        price = words.money(step.price, made.currency, is_unit_price=True)
        say(f"approved: {'/'.join(filter(None, step.key))} at {price} from {step.effective_on}")


def _number(written: str, price: str) -> float:
    try:
        return float(price)
    except ValueError:
        raise PricesError(f"{written[:80]!r}: wanted KIND/REPAIR=PRICE with a number") from None


def _key(written: str) -> tuple[str, str, str]:
    kind, _, rest = written.partition("/")
    code, _, side = rest.partition("/")
    return kind, code, side


def _write(chosen: argparse.Namespace, made: PriceList) -> None:
    if chosen.out.suffix.lower() == ".csv":
        try:
            write_whole(chosen.out, files.price_list_text(made).encode("utf-8"))
        except OSError as error:
            raise UserError(f"{chosen.out}: cannot be written ({error.strerror})") from None
        say(f"written: {chosen.out}")
        return
    write_paper(
        chosen.out, (files.customers_html if chosen.for_customers else files.list_html)(made)
    )


def list_text(made: PriceList) -> str:
    """Return the list as text for a terminal."""
    warning = files.warning(made)
    lines = [warning] if warning else []
    lines.append(
        f"Prices of {made.scope}, {made.currency or 'currency not recorded'}, proposed from "
        f"{words.day(made.effective_on)}"
    )
    return "\n".join([*lines, *(_line(row, made) for row in each_row(made.rows))])


def _line(row: Any, made: PriceList) -> str:
    now, new = (words.money(each, made.currency) for each in (row.price_now, row.proposed_rate))
    jobs = words.counted(row.jobs, "job")
    return (
        f"{row.key}: {now} now, {new} proposed ({files.range_words(row, made.currency)}), {jobs}; "
        f"{files.status(row)}"
    )
