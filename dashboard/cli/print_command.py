"""The command `print`: a list that a page offers for paper, as a file or to the terminal."""

import argparse
from collections.abc import Callable
from typing import Any

from dashboard.callbacks.credit_paper import credit_paper
from dashboard.callbacks.credit_sentences import claims, suppliers_of
from dashboard.cli.argument_types import add_filters, filters_of, path
from dashboard.cli.html_or_pdf import check_paper, write_paper
from dashboard.cli.shop import snapshot_of
from dashboard.database.labels import read_labels
from dashboard.database.query import run
from dashboard.database.snapshot import Snapshot
from dashboard.database.version import NoData
from dashboard.diagnosis.no_fault_sentences import no_fault_paper, prepared_groups
from dashboard.filters import Filters
from dashboard.measures import measure
from dashboard.month.season_sentences import season_paper
from dashboard.pricing.profit_paper import named_groups, profit_paper
from dashboard.text.paper import Paper, paper_html
from etl.folder.sample import holds_only_sample

Make = Callable[[Snapshot, Filters, str], Paper]
CREDIT = "parts_credit"


def add_print(added: "argparse._SubParsersAction[Any]", common: argparse.ArgumentParser) -> None:
    """Add the command."""
    command = added.add_parser(
        "print",
        parents=[common],
        help="a list to print or send: parts credit, profit per hour, season, no fault found",
        epilog="example: ohmhours print parts_credit --from 2026-01-01 --out credit.pdf",
    )
    command.add_argument("name", choices=PAPERS, metavar="NAME", help=", ".join(PAPERS))
    command.add_argument(
        "--by", choices=sorted(TITLES), metavar="COLUMN", help=", ".join(sorted(TITLES))
    )
    command.add_argument("--supplier", metavar="NAME", help="parts credit: only this supplier's")
    command.add_argument(
        "--out", required=True, type=path, metavar="FILE", help="a .html or .pdf file"
    )
    add_filters(command)
    command.set_defaults(run=print_list)


def print_list(chosen: argparse.Namespace) -> int:
    """Write the list as a file."""
    check_paper(chosen.out, "a list")
    make, default, groups = PAPERS[chosen.name]
    by = chosen.by or default
    if by not in groups:
        raise NoData(f"--by {by}: {chosen.name} is grouped by {', '.join(groups) or 'nothing'}")
    if chosen.supplier and chosen.name != CREDIT:
        raise NoData(f"--supplier {chosen.supplier}: only {CREDIT} is a list for a supplier")
    snapshot = snapshot_of(chosen)
    paper = make(snapshot, filters_of(chosen), chosen.supplier or by)
    write_paper(chosen.out, paper_html(paper, is_sample=holds_only_sample(snapshot.version)))
    return 0


TITLES = {
    "appliance_kind": "Appliance",
    "brand": "Brand",
    "repair_code": "Repair",
    "symptom": "Complaint",
    "technician": "Technician",
}


def _currency(snapshot: Snapshot) -> str | None:
    row = run(snapshot, "pages/dataset").iloc[0]
    return str(row.currency) if row.currencies == 1 else None


def _credit(snapshot: Snapshot, filters: Filters, supplier: str) -> Paper:
    """Return the list for one supplier, for all of them where `supplier` is ""."""
    cases = measure(snapshot, CREDIT, filters)
    known = suppliers_of(claims(cases))
    if supplier and supplier not in known:
        names = ", ".join(known) or "no supplier"
        raise NoData(f"--supplier {supplier}: not in these claims, which name {names}")
    shop = str(snapshot.settings.get("shop_name") or "")
    labels, currency = read_labels(snapshot), _currency(snapshot)
    return credit_paper(cases, filters, labels, currency, shop, supplier or None)


def _profit(snapshot: Snapshot, filters: Filters, by: str) -> Paper:
    table, currency = (
        measure(snapshot, "profit_per_hour", filters, group_by=by),
        _currency(snapshot),
    )
    named = named_groups(table, by, read_labels(snapshot), currency)
    return profit_paper(named, TITLES[by], filters, read_labels(snapshot), currency)


def _season(snapshot: Snapshot, filters: Filters, by: str) -> Paper:
    table = measure(snapshot, "season", filters)
    if table.empty:
        raise NoData("season: these records hold no whole month of calls in this filter")
    return season_paper(table, filters, read_labels(snapshot))


def _no_fault(snapshot: Snapshot, filters: Filters, by: str) -> Paper:
    whole = measure(snapshot, "no_fault_found", filters)
    if whole.empty:
        raise NoData("no_fault_found: no closed complaint is in this filter; widen it")
    groups = measure(snapshot, "no_fault_found", filters, group_by=by)
    prepared = prepared_groups(groups, by, read_labels(snapshot))
    window = snapshot.window_days
    return no_fault_paper(
        whole.iloc[0], prepared, TITLES[by], filters, read_labels(snapshot), window
    )


# name → how it is made, its grouping, and all that it can be grouped by
PAPERS: dict[str, tuple[Make, str, tuple[str, ...]]] = {
    CREDIT: (_credit, "", ("",)),
    "profit_per_hour": (_profit, "appliance_kind", ("appliance_kind", "brand", "repair_code")),
    "season": (_season, "", ("",)),
    "no_fault_found": (_no_fault, "symptom", ("symptom", "appliance_kind", "technician")),
}
