"""New parts that were faulty → text and a sheet to send to the supplier."""

import pandas as pd

from dashboard.database.filter_words import filter_words
from dashboard.database.labels import Labels
from dashboard.filters import Filters
from dashboard.rows import each_row
from dashboard.text import format as words
from dashboard.text.escape_markdown import verbatim
from dashboard.text.paper import Paper, PaperTable

HINT = "fitted again"
EVIDENCE = {
    "on site": "found faulty on site",
    "came back": "came back: new part faulty",
    HINT: "same part fitted again",
}
UNKNOWN_PART = "not known which"


def claims(cases: pd.DataFrame) -> pd.DataFrame:
    """Return the cases that the records themselves call a faulty new part."""
    return cases[cases["evidence"] != HINT]


def hints(cases: pd.DataFrame) -> pd.DataFrame:
    """Return the cases that only hint at one."""
    return cases[cases["evidence"] == HINT]


def by_part(cases: pd.DataFrame) -> pd.DataFrame:
    """Return cases and money by part number, most money first; part_no may be missing.

    Columns part_no, component, cases, fitted_jobs, parts_cost, lost_cost, total.
    """
    sums = (
        cases.groupby("part_no", dropna=False, as_index=False)
        .agg(
            component=("component", "first"),
            cases=("job_id", "size"),
            fitted_jobs=("fitted_jobs", "max"),
            parts_cost=("unit_cost", _sum),
            lost_cost=("lost_cost", _sum),
        )
        .assign(total=lambda each: each[["parts_cost", "lost_cost"]].sum(axis=1))
    )
    return sums.sort_values(["total", "part_no"], ascending=[False, True], ignore_index=True)


def _sum(amounts: pd.Series) -> float:
    """Return the sum of what is known; missing where nothing is."""
    return float(amounts.sum(min_count=1))


def labelled(table: pd.DataFrame, labels: Labels) -> pd.DataFrame:
    """Add the number as shown, the name of the part, and both in one text."""
    names = [labels.of("component", c) if c and pd.notna(c) else "" for c in table["component"]]
    numbers = table["part_no"].fillna(UNKNOWN_PART)
    return table.assign(
        number=numbers,
        name=[words.capitalized(name) for name in names],
        part=[
            f"{number}, {name}" if name else number
            for number, name in zip(numbers, names, strict=True)
        ],
    )


def credit_words(cases: pd.DataFrame, currency: str | None) -> str:
    """Say how many new parts were faulty, what they cost, and what the trips took."""
    said = claims(cases)
    if said.empty:
        return "**No new part is recorded as faulty** in these jobs."
    known = said[said["part_no"].notna()]
    parts = verbatim(words.money(said["unit_cost"].sum(), currency))
    lost = verbatim(words.money(said["lost_cost"].sum(), currency))
    text = (
        f"**{words.counted(len(said), 'new part')} "
        f"{'was' if len(said) == 1 else 'were'} faulty**: parts worth {parts}, and "
        f"{words.minutes(said['lost_min'].sum())} of trips and work worth {lost}."
    )
    unknown = len(said) - len(known)
    if unknown:
        text += f" For {unknown:,} the part number is not recorded."
    unpriced = int(known["unit_cost"].isna().sum())
    if unpriced:
        text += f" {words.counted(unpriced, 'part')} without a recorded cost."
    return text


def hint_words(cases: pd.DataFrame) -> str:
    """Say what only hints at a faulty part."""
    count = len(hints(cases))
    return (
        f"In {words.counted(count, 'more job')} the same part number was fitted again when the "
        "appliance came back under warranty. The part may have been faulty, or never the cause, or "
        "installed wrong: ask who did the job before you claim."
    )


def credit_paper(
    cases: pd.DataFrame, filters: Filters, labels: Labels, currency: str | None, shop: str
) -> Paper:
    """Return the list to send: by part number, then case by case, with room for the supplier."""
    said, filtered = claims(cases), filter_words(filters, labels)
    return Paper(
        f"{shop}: new parts that were faulty" if shop else "New parts that were faulty",
        [
            f"Of {filtered or 'the whole shop'}. {currency or 'Currency not recorded'}.",
            credit_words(cases, currency).replace("*", "").replace("\\", ""),
        ],
        [_sums(said, labels, currency), _cases(said, labels, currency)],
        [
            "Found on site: the visit ended with a faulty new part. Came back: the job that "
            "followed names the new part as the cause. One piece is counted for each case. Our "
            "records hold no supplier and no invoice: fill them in."
        ],
        f"FILTERED: {filtered}" if filtered else None,
    )


def _sums(said: pd.DataFrame, labels: Labels, currency: str | None) -> PaperTable:
    rows = [
        [
            row.number,
            row.name,
            words.number(row.cases),
            words.number(row.fitted_jobs),
            words.money(row.parts_cost, currency, is_unit_price=True),
            words.money(row.lost_cost, currency, is_unit_price=True),
            "",
        ]
        for row in each_row(labelled(by_part(said), labels))
    ]
    heads = ["Part number", "Part", "Faulty", "Jobs fitted", "Parts", "Labor", "Supplier"]
    return PaperTable("By part number", heads, rows, frozenset(range(2, 6)))


def _cases(said: pd.DataFrame, labels: Labels, currency: str | None) -> PaperTable:
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
    return PaperTable("Case by case", heads, rows, frozenset((5,)))
