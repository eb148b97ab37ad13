"""Limit review and meter check in words."""

from collections.abc import Callable
from typing import Any

import pandas as pd

from dashboard.readings.sentences import beyond
from dashboard.rows import Row, each_row
from dashboard.text import format as words
from dashboard.text.escape_markdown import verbatim
from dashboard.text.limits import limits_in_full, limits_words

ENOUGH = 30
REASONS = {
    "contact": "a contact is either closed or open",
    "nameplate": "its limits depend on the nameplate",
    "blind": "the test cannot see how this part fails",
    "open": "failed parts read open, so there is no number to set a limit at",
}


def reviewed(review: pd.DataFrame, name: Callable[[str], str]) -> pd.DataFrame:
    """Return rows of the measure limit_review in words, those with a suggested limit first.

    Adds label, parts, separates, best, register, why_not.
    """
    named = review.assign(label=[name(point) for point in review["test_point"]]).sort_values(
        ["is_suggested", "auc", "test_point"], ascending=[False, False, True], ignore_index=True
    )
    rows = list(each_row(named))
    return named.assign(
        parts=[f"{row.n_condemned:,} failed, {row.n_good:,} good" for row in rows],
        separates=[
            f"{words.percent(row.auc)} ({words.percent_range(row.auc_low, row.auc_high)})"
            for row in rows
        ],
        best=[_best(row) for row in rows],
        register=[
            limits_words(row.register_low, row.register_high, row.unit, 4) or words.MISSING
            for row in rows
        ],
        why_not=[_why_not(row) for row in rows],
    )


def _best(row: Row) -> str:
    if not row.is_suggested:
        return words.MISSING
    between = limits_words(row.best_low, row.best_high, row.unit, 4)
    return f"{row.condemns} {words.significant(row.best_limit, row.unit, 4)} ({between})"


def _why_not(row: Row) -> Any:
    if row.is_suggested:
        return None
    if not words.is_missing(row.no_limit_because):
        return REASONS.get(row.no_limit_because, str(row.no_limit_because))
    if min(row.n_condemned, row.n_good) < ENOUGH:
        return f"fewer than {ENOUGH} failed or good parts"
    return "the reading does not separate failed from good parts well"


def one_point(row: Row) -> str:
    """Say what the readings of one test point suggest; a row of `reviewed`."""
    if not row.is_suggested:
        return f"**{row['label']}: no limit is suggested**, because {row.why_not} ({row.parts})."
    limit = words.significant(row.best_limit, row.unit, 4)
    return (
        f"**{row['label']}: a reading {row.condemns} {limit} separates failed from good parts "
        f"best.** It finds {words.percent(row.sensitivity)} of the failed parts and clears "
        f"{words.percent(row.specificity)} of the good ones ({row.parts}). {_register(row)}"
    )


def _register(row: Row) -> str:
    if words.is_missing(row.register_low) and words.is_missing(row.register_high):
        return "The register has no limit in this unit."
    outside = beyond(row.register_fail_below, row.register_fail_above, row.unit)
    inside = limits_in_full(row.register_low, row.register_high, row.unit)
    return f"The limit in use: {inside}, bad {outside}."


def near_the_line(readings: pd.DataFrame, line: float, is_above: bool, unit: str) -> str:
    """Say how many failed and good parts lie on each side of a line; open lies above all.

    `readings`: rows of pages/limit_readings; `is_above`: failed parts lie above.
    """
    right = readings["value"].isna() | (readings["value"] > line)
    counts = {
        (is_right, is_failed): int(
            ((right == is_right) & (readings["is_failed"] == is_failed)).sum()
        )
        for is_right in (False, True)
        for is_failed in (False, True)
    }
    sides = ((False, "up to"), (True, "above"))
    shown = words.significant(line, unit, 4)
    parts = [
        f"{name} {shown}: {counts[side, True]:,} failed and {counts[side, False]:,} good parts"
        for side, name in sides
    ]
    found, blamed = counts[is_above, True], counts[is_above, False]
    return (
        f"**U{parts[0][1:]}; {parts[1]}.** As a limit this line would "
        f"find {found:,} of {counts[False, True] + counts[True, True]:,} failed parts and fail "
        f"{blamed:,} of {counts[False, False] + counts[True, False]:,} good ones."
    )


def meters(check: pd.DataFrame) -> list[str]:
    """Write a sentence for each meter of the measure meter_check, the flagged ones first.

    Columns as in the measure, with label.
    """
    lines = []
    for name, rows in check.groupby("technician", sort=True):
        flagged = rows[rows["flagged"]]
        lines.append((flagged.empty, _meter(str(name), rows, flagged)))
    return [line for _, line in sorted(lines, key=lambda each: each[0])]


def _meter(name: str, rows: pd.DataFrame, flagged: pd.DataFrame) -> str:
    points = words.counted(len(rows), "test point")
    if flagged.empty:
        return f"{verbatim(name)}: agrees with the other meters at all of {points}."
    typical = flagged["shift"].median()
    side = "high" if typical > 0 else "low"
    return (
        f"**{verbatim(name)}: reads {words.percent(abs(typical))} {side} at {len(flagged)} of "
        f"{points}** ({words.listed(flagged['label'].tolist())}). Check this meter against a known "
        "resistor."
    )


def shifts(rows: pd.DataFrame) -> pd.DataFrame:
    """Return rows of the measure meter_check in words: reads, others, shift_words, verdict, …"""
    each = list(each_row(rows))
    return rows.assign(
        reads=[words.significant(row.median, row.unit, 4) for row in each],
        others=[words.significant(row.others_median, row.unit, 4) for row in each],
        shift_words=[
            f"{_signed(row.shift)} ({_signed(row.shift_low)} to {_signed(row.shift_high)})"
            for row in each
        ],
        verdict=["reads differently" if row.flagged else "agrees" for row in each],
    )


def _signed(value: float | None) -> str:
    text = words.percent(value)
    return f"+{text}" if not words.is_missing(value) and round(value * 100) > 0 else text
