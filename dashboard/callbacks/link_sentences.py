"""Why two jobs are linked as repair and callback, or why not: each condition in words."""

import pandas as pd

from dashboard.callbacks.curves import HORIZON_DAYS
from dashboard.database.labels import Labels
from dashboard.text.escape_markdown import verbatim
from dashboard.text.format import counted, day, is_missing

LINKS_TO_NOTHING = ("unspecified", "no_complaint")


def conditions(pair: pd.Series, labels: Labels) -> list[tuple[str, bool | None, str]]:
    """Return each condition of a callback with whether it holds (None: not known) and the facts.

    `pair` is the row of sql/pages/link_check.
    """
    disposition = labels.of("disposition", pair.earlier_disposition)
    ending = labels.of("disposition", pair.later_disposition)
    return [
        ("the earlier job was repaired", pair.earlier_disposition == "repaired", disposition),
        ("the later job was not cancelled", pair.later_disposition != "cancelled", ending),
        ("the same appliance", *_same_unit(pair, labels)),
        ("the same family of complaints", *_same_family(pair, labels)),
        ("opened on the day of closing or after", *_in_order(pair)),
        ("opened after the earlier job", *_opened_later(pair)),
        (f"no more than {HORIZON_DAYS} days later", *_in_a_year(pair)),
        ("no other repair of it closed later", *_latest(pair)),
    ]


def _same_unit(pair: pd.Series, labels: Labels) -> tuple[bool | None, str]:
    kinds = [labels.of("appliance_kind", kind) for kind in (pair.earlier_kind, pair.later_kind)]
    if is_missing(pair.is_same_unit):
        return None, "no serial or customer with one of the two"
    return bool(pair.is_same_unit), kinds[0] if pair.is_same_unit else " and ".join(kinds)


def _same_family(pair: pd.Series, labels: Labels) -> tuple[bool, str]:
    earlier = labels.of("symptom", pair.earlier_symptom, pair.earlier_kind)
    later = labels.of("symptom", pair.later_symptom, pair.later_kind)
    is_same = pair.earlier_family == pair.later_family
    if is_same and pair.later_family in LINKS_TO_NOTHING:
        return False, f"{later}: such a complaint links to nothing"
    return is_same, later if earlier == later else f"{earlier}; {later}"


def _in_order(pair: pd.Series) -> tuple[bool | None, str]:
    if is_missing(pair.days):
        return None, "the earlier job is not closed"
    dates = f"closed {day(pair.closed_on)}, opened {day(pair.opened_on)}"
    return bool(pair.days >= 0), dates


def _opened_later(pair: pd.Series) -> tuple[bool, str]:
    if pair.is_returned_to:
        return False, "the records name a job of the same day as its callback"
    if pair.is_opened_later:
        return True, "by day, then time, then job number"
    return False, "both jobs of one day: the other one comes first by time or job number"


def _in_a_year(pair: pd.Series) -> tuple[bool | None, str]:
    if is_missing(pair.days):
        return None, "the earlier job is not closed"
    return bool(pair.days <= HORIZON_DAYS), counted(pair.days, "day")


def _latest(pair: pd.Series) -> tuple[bool, str]:
    is_other = not is_missing(pair.linked_to) and pair.linked_to != pair.earlier_job
    return not is_other, f"it returns to job {pair.linked_to}" if is_other else "none"


def verdict(pair: pd.Series, labels: Labels, window_days: int) -> str:
    """Say whether the later job is a callback of the earlier one, why, and if it counts."""
    later, earlier = verbatim(pair.later_job), verbatim(pair.earlier_job)
    if is_missing(pair.linked_to) or pair.linked_to != pair.earlier_job:
        lacking = [name for name, holds, _ in conditions(pair, labels) if not holds]
        return (
            f"Job {later} is **not** a callback of job {earlier}. What does not hold: "
            f"{', '.join(lacking)}."
        )
    days = max(int(pair.days), 0)
    reason = "the records say so" if pair.is_explicit else "every condition holds"
    counts = "counts" if days <= window_days else "does not count"
    return (
        f"Job {later} **is a callback** of job {earlier}: {reason}. It came after "
        f"{counted(days, 'day')} and {counts} within {window_days} days."
    )
