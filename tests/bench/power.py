"""How often is the culprit found, and an innocent flagged? python -m tests.bench.power [SHOPS].

Draws counts and readings for each comparison (no records, no database), judges them by the same
functions as the pages, and writes its section of RESULTS.md.
"""

import platform
import sys
import time
from datetime import date
from functools import partial

import numpy as np
import pandas as pd

from dashboard.fairness.early_parts import early_parts
from dashboard.fairness.others_rate import set_aside
from dashboard.stats import funnel
from dashboard.stats.control_chart import p_chart
from dashboard.stats.meter_bias import Readings
from dashboard.stats.meter_rounds import meter_shifts
from tests.bench.results import RESULTS, write_section

SHOPS = 200
POINTS, METER_SHIFT = 20, 1.12
RIGHT, BAD = 0.07, 0.34  # shares that come back or are wrong: of everybody, and of the culprit
FOLLOWED_DAYS = 365
SEEN = 0.8  # of wrong diagnoses, those that a later visit or a callback shows


def meters(generator: np.random.Generator, people: int, culprit: int | None) -> list[Readings]:
    """Draw 20 test points of parts that differ by 6%, 15 to 35 readings by each technician."""
    points = []
    for _ in range(POINTS):
        base = 10 ** generator.uniform(1, 3)
        read = [
            base * np.exp(generator.normal(0, 0.06, generator.integers(15, 36)))
            for _ in range(people)
        ]
        if culprit is not None:
            read[culprit] = read[culprit] * METER_SHIFT
        read = [np.round(values, 1) for values in read]
        values = np.unique(np.concatenate(read))
        places = [np.searchsorted(values, one) for one in read]
        counts = np.stack([np.bincount(place, minlength=len(values)) for place in places])
        points.append(Readings(np.arange(people), values, counts, np.full(people, 0.01)))
    return points


def flagged_meters(generator: np.random.Generator, people: int, culprit: int | None) -> set:
    """Return the technicians whose meter is flagged."""
    points = meter_shifts(meters(generator, people, culprit))
    return {shift.who for point in points for shift in point if shift.is_flagged}


def flagged_parts(generator: np.random.Generator, jobs: int, culprit: int | None) -> set:
    """Judge a shop in which the culprit's alternatives are as common as itself."""
    return _flagged_parts(generator, jobs, culprit, 0.04)


def flagged_parts_of_few(generator: np.random.Generator, jobs: int, culprit: int | None) -> set:
    """Judge a shop in which the culprit has few jobs of alternatives to be compared with."""
    return _flagged_parts(generator, jobs, culprit, None)


def _flagged_parts(
    generator: np.random.Generator, jobs: int, culprit: int | None, alternatives: float | None
) -> set:
    """Draw 20 components of 2 to 5 part numbers, and return the flagged numbers.

    Part 0 is fitted in 4% of the jobs, its alternatives together in the share given. The other
    part numbers are fitted in 0.9% each.
    """
    rows, number = [], 0
    for component in range(20):
        numbers = int(generator.integers(2, 6))
        for _ in range(numbers):
            share = BAD if number == culprit else RIGHT
            mean = jobs * 0.6 / 70
            if number == 0:
                mean = jobs * 0.04
            elif component == 0 and alternatives:
                mean = jobs * alternatives / (numbers - 1)
            fitted = max(int(generator.poisson(mean)), 1)
            back = generator.random(fitted) < share
            observed = generator.integers(30, FOLLOWED_DAYS + 1, fitted)
            day = np.where(back, generator.integers(1, 60, fitted), observed)
            is_back = back & (day <= observed)
            rows += [
                ("washer", f"c{component}", number, d, 1, int(b), 1, int(b))
                for d, b in zip(np.minimum(day, observed), is_back, strict=True)
            ]
            number += 1
    names = ["appliance_kind", "component", "part_no", "day", "seen", "back", "mature", "callbacks"]
    days = pd.DataFrame(rows, columns=names).groupby(names[:4], as_index=False).sum()
    table = early_parts(days)
    return set(table.loc[table["flagged"], "part_no"])


def different_people(
    generator: np.random.Generator,
    people: int,
    culprit: int | None,
    jobs: int = 300,
    right: float = RIGHT,
    bad: float = BAD,
) -> set:
    """Draw each technician's jobs over 12 complaints, and return who is outside 99.8%."""
    rows = []
    for who in range(people):
        mature = generator.multinomial(jobs, generator.dirichlet(np.full(12, 3)))
        share = bad if who == culprit else right
        failed = generator.binomial(mature, share)
        rows += [
            (who, "washer", s, n, n - k)
            for s, (n, k) in enumerate(zip(mature, failed, strict=True))
        ]
    strata = pd.DataFrame(
        rows, columns=["group", "appliance_kind", "symptom", "mature", "fixed_first_time"]
    )
    judged = set_aside(strata)
    verdicts = funnel.verdicts(judged["rate"], judged["jobs"], judged["against"])
    return {
        who for who, verdict in zip(judged.index, verdicts, strict=True) if verdict == "different"
    }


def worse_months(
    generator: np.random.Generator, jobs: int, culprit: int | None, usual: float = 0.67
) -> set:
    """Draw 18 months at the usual share, one of them at 50%; return those beyond 3 sigma."""
    n = np.maximum(generator.poisson(jobs, 18), 1)
    share = np.full(18, usual)
    if culprit is not None:
        share[culprit] = 0.50
    k = generator.binomial(n, share)
    low, high = p_chart(k, n, [True] * 12 + [False] * 6).limits()
    return set(np.flatnonzero((k / n < low) | (k / n > high)).tolist())


CASES = [
    *((f"meter +12% among {n}", flagged_meters, n, 0) for n in (3, 5, 8)),
    *(
        (f"part {BAD:.0%} against {RIGHT:.0%}, {n:,} jobs, {words}", judge, n, 0)
        for judge, words in (
            (flagged_parts, "4% and 4%"),
            (flagged_parts_of_few, "4% and alternatives of 0.9% each"),
        )
        for n in (1500, 3000, 6000)
    ),
    *(
        (f"wrong {BAD:.0%} against {RIGHT:.0%} among {n}", different_people, n, 0)
        for n in (3, 5, 8)
    ),
    *(
        (
            f"twice {wrong:.0%} wrong among 6, 400 jobs each, {SEEN:.0%} seen",
            partial(different_people, jobs=400, right=SEEN * wrong, bad=2 * SEEN * wrong),
            6,
            0,
        )
        for wrong in (0.30, 0.15, 0.05)
    ),
    *(
        (
            f"month of 50% against {usual:.0%}, {n} jobs",
            partial(worse_months, usual=usual),
            n,
            5,
        )
        for usual in (0.67, 0.85)
        for n in (20, 60, 220)
    ),
]


def shares(case: tuple, shops: int) -> tuple[float, float, float]:
    """Return in how many shops the culprit is found, an innocent is, anybody where nobody is off."""
    _, judge, size, culprit = case
    found = innocent = no_difference = 0
    for seed in range(shops):
        generator = np.random.default_rng(seed)
        flagged = judge(generator, size, culprit)
        found += culprit in flagged
        innocent += bool(flagged - {culprit})
        no_difference += bool(judge(generator, size, None))
    return found / shops, innocent / shops, no_difference / shops


def main() -> None:
    """Run every case and write the table."""
    shops = int(sys.argv[1]) if len(sys.argv) > 1 else SHOPS
    start = time.monotonic()
    lines = ["| planted | found | an innocent flagged | flagged, nobody off |", "|---|---|---|---|"]
    for case in CASES:
        found, innocent, no_difference = shares(case, shops)
        lines.append(f"| {case[0]} | {found:.0%} | {innocent:.1%} | {no_difference:.1%} |")
        print(lines[-1], file=sys.stderr, flush=True)
    lines.insert(
        0,
        f"{shops} drawn shops each, seeds from 0; shares of shops. {date.today()}, Python "
        f"{platform.python_version()}, {time.monotonic() - start:.0f} s.\n",
    )
    write_section("Power and false flags of the comparisons", lines)
    print(RESULTS.read_text(encoding="utf-8"))


if __name__ == "__main__":
    main()
