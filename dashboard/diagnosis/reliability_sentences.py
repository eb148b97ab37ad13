"""How reliable tests are, in words: hit rate, false alarms, likelihood ratios."""

import math

import pandas as pd

from dashboard.rows import Row, each_row
from dashboard.text.format import is_missing, percent_range, rate

ANSWERS_FROM = (
    0.5  # the register's chance of reading outside, from which a test answers for a cause
)


def reliability(rows: pd.DataFrame) -> pd.DataFrame:
    """Return rows of the measure power_of_tests with hit rate and false alarms, the best first.

    Adds hit, hit_low, hit_high, hit_words and the same with `alarm`, answers (for the cause), and
    for the details ratio_outside, ratio_inside, hit_bounds, unverified. The best test has the
    largest difference between hit rate and false alarms (Youden's index).
    """
    each = list(each_row(rows))
    found = rows.assign(
        hit=rows["sensitivity"],
        hit_low=rows["sens_low"],
        hit_high=rows["sens_high"],
        alarm=1 - rows["specificity"],
        alarm_low=1 - rows["spec_high"],
        alarm_high=1 - rows["spec_low"],
        answers=rows["register_outside"] >= ANSWERS_FROM,
        ratio_outside=[_ratio(r.lr_pos, r.lr_pos_low, r.lr_pos_high) for r in each],
        ratio_inside=[_ratio(r.lr_neg, r.lr_neg_low, r.lr_neg_high) for r in each],
        hit_bounds=[
            "–" if is_missing(r.sens_lowest) else percent_range(r.sens_lowest, r.sens_highest)
            for r in each
        ],
        unverified=rows["unverified_outside"] + rows["unverified_inside"],
    )
    found["hit_words"] = _rates(found, "tp", "fn", "hit")
    found["alarm_words"] = _rates(found, "fp", "tn", "alarm")
    found["youden"] = found["hit"] - found["alarm"]
    return found.sort_values(
        ["answers", "youden", "test_point"], ascending=[False, False, True], ignore_index=True
    )


def _rates(rows: pd.DataFrame, outside: str, inside: str, name: str) -> list[str]:
    limits = zip(
        rows[outside], rows[inside], rows[f"{name}_low"], rows[f"{name}_high"], strict=True
    )
    return [rate(k, k + rest, low, high) for k, rest, low, high in limits]


def _ratio(value: float, low: float, high: float) -> str:
    """Write a likelihood ratio with its interval; a missing one as a dash."""
    if is_missing(value):
        return "–"
    written = [
        "∞" if math.isinf(each) else f"{float(f'{each:.2g}'):,g}" for each in (value, low, high)
    ]
    return f"{written[0]} ({written[1]}–{written[2]})"


def best_test(chosen: pd.DataFrame, cause: str) -> str:
    """Say how reliable the best test of a cause is; `chosen`: of reliability, with labels."""
    made = chosen[chosen["answers"] & (chosen["tp"] + chosen["fn"] > 0)]
    if made.empty:
        return (
            f"**Cannot be said:** no test that answers for *{cause}* was made on a job where it "
            "was the cause."
        )
    first: Row = made.iloc[0]
    return (
        f"**{first.label}** is the most reliable test for *{cause}*: it read outside limits in "
        f"{first.hit_words} with this cause (hit rate), and in {first.alarm_words} with another "
        "cause (false alarms)."
    )
