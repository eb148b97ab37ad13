"""How many jobs a group is worth next to others whose rate is uncertain, by hand."""

import pandas as pd

from dashboard.fairness.others_rate import set_aside

STRATA = """
Ann washer leaks 50 49
Ann washer noisy 50 46
Bob washer leaks 50 41
Bob washer noisy 150 147
"""
COLUMNS = ["group", "appliance_kind", "symptom", "mature", "fixed_first_time"]


def test_chance_is_that_of_all_as_if_the_group_were_like_the_others():
    """Of both: 10 of 100 and 7 of 200 fail; spread 50 x .09 + 50 x .033775 = 6.18875.

    The others add 50 / 50 x 4.5 + 50 / 150 x 1.68875 = 5.06292; 100 / (1 + .81808) = 55.003. By
    Bob's own rates (.18 and .02) it would be 52.03.
    """
    rows = [line.split() for line in STRATA.strip().splitlines()]
    table = pd.DataFrame(rows, columns=COLUMNS).astype({"mature": int, "fixed_first_time": int})
    ann = set_aside(table).loc["Ann"]
    assert ann["jobs"] == 55
    assert ann["expected"] == 50 * 9 / 50 + 50 * 3 / 150
