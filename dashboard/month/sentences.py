"""The month in words: the finding, why, who stands out, and which jobs are counted."""

import pandas as pd

from dashboard.fairness.sentences import SIGNALS
from dashboard.month.figures import Figure
from dashboard.rows import Row, each_row
from dashboard.text import format as words

REASONS = {  # reason: its name, and what happened to one job, to several jobs
    "part_needed": ("Part not on the van", "waited for a part that was not on the van"),
    "part_ordered": ("Part ordered", "waited for an ordered part"),
    "wrong_diagnosis": ("Wrong diagnosis", "had a wrong first diagnosis"),
    "came_back": ("Came back, same cause", "came back with the same cause"),
    "defective_part": ("New part faulty", "got a new part that was faulty"),
    "more_time": ("More time or help", "needed more time, a helper or a tool"),
    "customer": ("Customer's decision", "waited for the customer"),
    "other": ("Other return trip", "needed another trip for some other reason"),
    "not_recorded": ("Return trip, no reason noted", "needed another trip, reason not noted"),
}
MOST_NAMED = 2
LEAST_WHOLE = 2.95  # under 3 a whole number would say too little


def headline(
    month: str, fix: Figure, signal: pd.Series | None, reasons: pd.DataFrame, min_jobs: int
) -> str:
    """Say how the month was and why, in plain text.

    `signal`: the month's row of month_signals; `reasons`: its rows of month_reasons.
    """
    if signal is None:
        return f"{words.month(month)}: no repair was closed that first-time fix can count."
    if fix.value is None:
        pending = words.counted(signal["pending"], "repair")
        return (
            f"{words.month(month)}: first-time fix is not known yet; {pending} closed too recently."
        )
    found = f"{words.month(month)}: {fix.shown} fixed first time, {_place(fix, signal)}."
    if signal["mature"] < min_jobs:
        found += f" Only {words.counted(signal['mature'], 'job')}: too few to say much."
    return f"{found} {why(reasons, fix)}".strip()


def _place(fix: Figure, signal: pd.Series) -> str:
    if fix.usual is None:
        return "with no other month to compare"
    if fix.verdict != "within normal range":
        side = "below" if fix.direction < 0 else "above"
        return f"well {side} the usual {fix.usual_shown}"
    runs = [SIGNALS[name] for name in str(signal["signals"] or "").split("; ") if name in SIGNALS]
    inside = f"within the normal range of {fix.range_shown}"
    return f"{inside}, but {words.listed(runs)}" if runs else inside


def why(reasons: pd.DataFrame, fix: Figure) -> str:
    """Say which reasons explain a departure; empty when nothing is beyond its own normal."""
    is_bad = fix.direction < 0
    beyond = reasons[(reasons["verdict"] == "different") & ((reasons["excess"] > 0) == is_bad)]
    if beyond.empty:
        is_normal = fix.usual is None or fix.verdict == "within normal range"
        return "" if is_normal else "No single reason explains it: see the split below."
    ordered = beyond.sort_values("excess", ascending=not is_bad, kind="stable").head(MOST_NAMED)
    named = words.listed([reason_counted(row) for row in each_row(ordered)])
    is_outside = fix.verdict != "within normal range"
    return f"{'Why' if is_outside else 'Still, one thing stands out'}: {named}."


def reason_counted(row: Row) -> str:
    """Write "53 jobs waited for a part that was not on the van (17 is normal)"."""
    happened = REASONS[row.group][1]
    return f"{words.counted(row.not_fixed, 'job')} {happened} ({normal(row.expected)} is normal)"


def normal(expected: float) -> str:
    """Write how many jobs are normal: whole from 3 on."""
    return words.number(expected, 0 if expected >= LEAST_WHOLE else 1)


def name_of(reason: str) -> str:
    """Return the name of a reason."""
    return REASONS[reason][0]


def departure(reasons: pd.DataFrame) -> str:
    """Say how far the month is from normal, in jobs; empty without a baseline."""
    if reasons.empty or words.is_missing(reasons["month_expected"].iloc[0]):
        return ""
    row: Row = reasons.iloc[0]
    excess = row["month_not_fixed"] - row["month_expected"]
    side = "extra" if excess >= 0 else "fewer"
    return (
        f"{row['month_not_fixed']:,.0f} of {words.counted(row['month_jobs'], 'repair')} were not "
        f"fixed first time; {normal(row['month_expected'])} is normal for that many. The rows "
        f"below add up to the {normal(abs(excess))} {side}."
    )


def standing_out(views: dict[str, pd.DataFrame]) -> str:
    """Say which technician, appliance or part differs from the rest of the month, or none.

    `views`: noun → its rows of month_reasons, with a column label.
    """
    found, quiet = [], []
    for noun, table in views.items():
        rows = table[(table["verdict"] == "different") & (table["excess"] > 0)]
        if rows.empty:
            quiet.append(f"no {noun}")
        for row in each_row(rows.sort_values("excess", ascending=False, kind="stable")):
            found.append(
                f"{noun.capitalize()} {row.label} stands out: {row.not_fixed:,.0f} of "
                f"{words.counted(row.jobs, 'job')} not fixed first time "
                f"({normal(row.expected)} is normal)."
            )
    if quiet:
        text = words.listed(quiet, "and")
        found.append(f"{text[0].upper()}{text[1:]} stands out from the rest of the month.")
    return " ".join(found)


def counted_jobs(closed: int, fix: pd.Series | None, callbacks_mature: int, window: int) -> str:
    """Say how the jobs of first-time fix and of callbacks follow from the jobs closed.

    `fix`: the month's row of first_time_fix, None without a repaired complaint.
    """
    if fix is None:
        return f"{words.counted(closed, 'job')} closed, none of them a repaired complaint."
    steps = [
        (closed - fix["repaired"], "not repaired, or maintenance"),
        (fix["left_out"], "with unknown appliance or unknown visits"),
        (fix["pending"], f"closed less than {window} days before the records end"),
    ]
    left = "; ".join(f"{count:,.0f} {name}" for count, name in steps if count)
    more = callbacks_mature - fix["mature"]
    also = f" Callbacks also counts {more:,.0f} with unknown visits." if more > 0 else ""
    counted = words.counted(closed, "job")
    less = f" Not counted: {left}." if left else ""
    return f"{counted} closed, {fix['mature']:,.0f} counted in first-time fix.{less}{also}"
