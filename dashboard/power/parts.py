"""What share of returns of one part number these repairs would show."""

import pandas as pd

from dashboard.fairness import early_parts as tested
from dashboard.rows import each_row
from dashboard.stats import power
from dashboard.stats.multiple_testing import by_information
from dashboard.stats.one_group import chances


def early_parts(days: pd.DataFrame) -> dict[str, float | None]:
    """Return the smallest share of returns found for the typical part number with alternatives.

    Typical: half of the parts fitted are of numbers that are fitted as often, or oftener.
    """
    parts = tested.early_parts(days)
    asked = parts[parts["expected"].notna() & parts["p_value"].notna()]
    usual = float(asked["returns"].sum() / max(asked["followed"].sum(), 1))
    if asked.empty or not 0 < usual < 1:
        return {}
    whole = parts.groupby(["appliance_kind", "component"])[["followed", "returns"]].transform("sum")
    asked = asked.assign(all_followed=whole["followed"], failures=whole["returns"])
    share = asked["followed"] / asked["all_followed"]
    asked = asked.assign(information=asked["failures"] * share * (1 - share))
    names = ["followed", "all_followed", "failures", "expected", "information"]
    sums = asked.groupby("part_no")[names].sum()
    attainable = [chances(row.expected, int(row.failures)) for row in each_row(sums)]
    weights = by_information(sums["information"])
    critical = power.critical_chances(attainable, weights, tested.ANY_FALSE_FLAG)
    ordered = sums.assign(critical=critical).sort_values("followed")
    is_half = ordered["followed"].cumsum() >= ordered["followed"].sum() / 2
    typical = ordered[is_half].iloc[0]
    own, others = int(typical.followed), int(typical.all_followed - typical.followed)
    return {
        "n": own,
        "usual": usual,
        "found": power.smallest_found(
            lambda rate: power.chance_of_part_flag(rate, usual, own, others, typical.critical),
            usual,
            1.0,
        ),
        "false_flags": tested.FLAGGED_PER_EXPECTED
        * sum(
            float(each[each <= limit].max(initial=0))
            for each, limit in zip(attainable, critical, strict=True)
        ),
    }
