"""New parts that were faulty → a sheet to send, one table of parts and one of cases a supplier."""

import pandas as pd

from dashboard.callbacks.credit_sentences import (
    EVIDENCE,
    UNKNOWN_SUPPLIER,
    by_part,
    claims,
    credit_words,
    labelled,
    of_supplier,
    suppliers_of,
)
from dashboard.database.filter_words import filter_words
from dashboard.database.labels import Labels
from dashboard.filters import Filters
from dashboard.rows import each_row
from dashboard.text import format as words
from dashboard.text.paper import Paper, PaperTable

HOW = (
    "Found on site: the visit ended with a faulty new part. Came back: the job that followed names "
    "the new part as the cause. One piece is counted for each case. Our records hold no invoice "
    "number: fill it in"
)


def credit_paper(
    cases: pd.DataFrame,
    filters: Filters,
    labels: Labels,
    currency: str | None,
    shop: str,
    supplier: str | None = None,
) -> Paper:
    """Return the list to send: supplier by supplier, or the cases of one `supplier` only."""
    said, filtered = of_supplier(claims(cases), supplier), filter_words(filters, labels)
    groups = [supplier] if supplier else [*suppliers_of(said), UNKNOWN_SUPPLIER]
    parts = [(name, own) for name in groups if not (own := of_supplier(said, name)).empty]
    is_open = any(name == UNKNOWN_SUPPLIER for name, _ in parts)
    return Paper(
        f"{shop}: new parts that were faulty" if shop else "New parts that were faulty",
        [
            *([f"For {supplier}."] if supplier else []),
            f"Of {filtered or 'the whole shop'}. {currency or 'Currency not recorded'}.",
            credit_words(said, currency).replace("*", "").replace("\\", ""),
        ],
        [
            table
            for name, own in parts
            for table in (_sums(name, own, labels, currency), _cases(name, own, labels, currency))
        ],
        [f"{HOW}, and the supplier where none is recorded." if is_open else f"{HOW}."],
        f"FILTERED: {filtered}" if filtered else None,
    )


def _sums(supplier: str, said: pd.DataFrame, labels: Labels, currency: str | None) -> PaperTable:
    rows = [
        [
            row.number,
            row.name,
            words.number(row.cases),
            words.number(row.fitted_jobs),
            words.money(row.parts_cost, currency, is_unit_price=True),
            words.money(row.lost_cost, currency, is_unit_price=True),
        ]
        for row in each_row(labelled(by_part(said), labels))
    ]
    heads = ["Part number", "Part", "Faulty", "Jobs fitted", "Parts", "Labor"]
    return PaperTable(f"{_title(supplier)}: by part number", heads, rows, frozenset(range(2, 6)))


def _cases(supplier: str, said: pd.DataFrame, labels: Labels, currency: str | None) -> PaperTable:
    rows = [
        [
            row.number,
            str(row.job_id),
            str(row.found_on) if row.found_on != row.job_id else "",
            words.day(row.closed_on),
            EVIDENCE[row.evidence],
            words.money(row.unit_cost, currency, is_unit_price=True),
            "",
        ]
        for row in each_row(labelled(said, labels))
    ]
    heads = ["Part number", "Job", "Came back as", "Closed", "How we know", "Cost", "Invoice"]
    return PaperTable(f"{_title(supplier)}: case by case", heads, rows, frozenset((5,)))


def _title(supplier: str) -> str:
    return f"Supplier {UNKNOWN_SUPPLIER}" if supplier == UNKNOWN_SUPPLIER else supplier
