"""New parts that were faulty → groups and text."""

import pandas as pd

from dashboard.database.labels import Labels
from dashboard.text import format as words
from dashboard.text.escape_markdown import verbatim

HINT = "fitted again"
EVIDENCE = {
    "on site": "found faulty on site",
    "came back": "came back: new part faulty",
    HINT: "same part fitted again",
}
UNKNOWN_PART, UNKNOWN_SUPPLIER = "not known which", "not recorded"


def claims(cases: pd.DataFrame) -> pd.DataFrame:
    """Return the cases that the records themselves call a faulty new part."""
    return cases[cases["evidence"] != HINT]


def hints(cases: pd.DataFrame) -> pd.DataFrame:
    """Return the cases that only hint at one."""
    return cases[cases["evidence"] == HINT]


def suppliers_of(cases: pd.DataFrame) -> list[str]:
    """Return the recorded suppliers of the cases, most cases first."""
    counts = cases["supplier"].value_counts()
    return sorted(map(str, counts.index), key=lambda name: (-counts[name], name))


def of_supplier(cases: pd.DataFrame, supplier: str | None) -> pd.DataFrame:
    """Return the cases of one supplier; all of them for None."""
    if supplier is None:
        return cases
    return cases[cases["supplier"].fillna(UNKNOWN_SUPPLIER) == supplier]


def by_part(cases: pd.DataFrame) -> pd.DataFrame:
    """Return cases and money by part number and supplier, most money first; both may be missing.

    Columns part_no, supplier, component, cases, fitted_jobs, parts_cost, lost_cost, total.
    """
    sums = (
        cases.groupby(["part_no", "supplier"], dropna=False, as_index=False)
        .agg(
            component=("component", "first"),
            cases=("job_id", "size"),
            fitted_jobs=("fitted_jobs", "max"),
            parts_cost=("unit_cost", _sum),
            lost_cost=("lost_cost", _sum),
        )
        .assign(total=lambda each: each[["parts_cost", "lost_cost"]].sum(axis=1))
    )
    return sums.sort_values(
        ["total", "part_no", "supplier"], ascending=[False, True, True], ignore_index=True
    )


def _sum(amounts: pd.Series) -> float:
    """Return the sum of what is known; missing where nothing is."""
    return float(amounts.sum(min_count=1))


def labelled(table: pd.DataFrame, labels: Labels) -> pd.DataFrame:
    """Add number and supplier as shown, the name of the part, and number and name in one text."""
    names = [labels.of("component", c) if c and pd.notna(c) else "" for c in table["component"]]
    numbers = table["part_no"].fillna(UNKNOWN_PART)
    return table.assign(
        number=numbers,
        sold_by=table["supplier"].fillna(UNKNOWN_SUPPLIER),
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


def supplier_words(cases: pd.DataFrame, currency: str | None) -> str:
    """Say which supplier sold how many of the faulty parts; "" where none is recorded."""
    said = claims(cases)
    names = suppliers_of(said)
    if not names:
        return ""
    pieces = []
    for name in [*names, UNKNOWN_SUPPLIER]:
        own = of_supplier(said, name)
        cost = words.money(own["unit_cost"].sum(), currency)
        if not own.empty:
            pieces.append(verbatim(f"{name} {len(own):,} ({cost})"))
    return f"By supplier: {words.listed(pieces)}."
