"""Callbacks and return trips → text: how many came back, why we went back, what it took."""

import pandas as pd

from dashboard.rows import Row
from dashboard.text import format as words
from dashboard.text.escape_markdown import verbatim

RETURN_REASONS = {
    "part_needed": "Part not on the van",
    "part_ordered": "Part ordered",
    "misdiagnosed": "Part fitted was not the cause",
    "defective_part": "New part faulty",
    "more_time": "More time or help",
    "customer": "Customer's decision",
    "other": "Other",
}


def came_back(row: Row, window: int) -> str:
    """Say how many repairs came back, in one sentence with its numbers."""
    if row.mature == 0:
        return (
            f"**Cannot be said yet:** no repair is past the {window}-day window and on a known "
            "appliance."
        )
    found = words.rate(row.callbacks_in_window, row.mature, row.low, row.high)
    return f"**{found}, came back within {window} days** for the same complaint."


def not_counted(row: Row) -> str:
    """Say which repairs are not in the callback rate."""
    known = (
        f" ({row.known_returns:,} of them recorded as having come back)"
        if row.known_returns
        else ""
    )
    return (
        f"Not counted: {words.counted(row.pending, 'job')} closed too recently and "
        f"{row.unlinked:,} on an unknown appliance{known}."
    ) + (
        " Returns to another shop are not seen, so the true rate may be higher."
        if row.mature
        else ""
    )


def upper_bound(calls: pd.Series, window: int) -> str:
    """Say the most that callbacks can be: any later call on the appliance."""
    if calls.mature == 0:
        return ""
    found = words.rate(calls.any_call, calls.mature, calls.low, calls.high)
    return (
        f"At most: {found}, had any later call on the same appliance within {window} days, "
        f"whatever the complaint. {words.counted(calls.often_back, 'appliance')} came back twice "
        "or more; each return counts against the repair before it."
    )


def why_back(reasons: pd.DataFrame) -> str:
    """Say the main reason of return trips; `reasons`: label, visits, low, high, most first."""
    first, visits = reasons.iloc[0], int(reasons["visits"].sum())
    found = words.rate(first.visits, visits, first.low, first.high, "return trips")
    return f"**Main reason: {verbatim(first.label.lower())}, {found}.**"


def what_it_took(reasons: pd.DataFrame, currency: str | None) -> str:
    """Say the hours and the money that return trips took, as far as recorded."""
    timed, visits = int(reasons["timed_visits"].sum()), int(reasons["visits"].sum())
    if not timed:
        return "What the trips took cannot be said: their minutes are not recorded."
    text = (
        f"They took {words.minutes(reasons['travel_min'].sum())} on the road and "
        f"{words.minutes(reasons['labour_min'].sum())} on site, as far as recorded ({timed:,} of "
        f"{visits:,} have their minutes)."
    )
    if reasons["cost_low"].notna().any():
        low, high = (words.money(reasons[f"cost_{end}"].sum(), currency) for end in ("low", "high"))
        text += (
            f" At the shop's labor cost that is {verbatim(low)} for the road alone and at most "
            f"{verbatim(high)}: some of the time on site would have been needed anyway."
        )
    return text


def jobs_of_the_month(row: Row) -> str:
    """Say how the jobs of a reason are shared out where a job has one reason only."""
    return (
        f"{row.label}: {words.counted(row.jobs, 'job')} here. On *The month*, where a repair has "
        f"one reason, that of its first visit, {row.in_month:,} of them have this one; "
        f"{row.other_reason:,} were sent back for something else first; {row.not_counted:,} are "
        "not counted there (not repaired, appliance not known, or closed too recently)."
    )
