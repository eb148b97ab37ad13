"""What could the best test find? python -m tests.bench.bounds.

The power of the uniformly most powerful unbiased test of two binomial shares, conditional on all
failures (Lehmann, Testing Statistical Hypotheses, chapter 4; from memory): no exact test that keeps
its promise of false flags finds more. Writes its section of RESULTS.md.
"""

from datetime import date

import numpy as np
from scipy.stats import binom, hypergeom

from tests.bench.results import write_section

TECHNICIAN, PART = 0.001, 0.0375  # the limit of 99.8% on one side; any false flag of early parts
NEGLIGIBLE = 1e-12


def best_power(
    culprit: int, others: int, usual: float, bad: float, tail: float
) -> tuple[float, float]:
    """Return the power on counts as they are, and with the last count decided by a drawn number.

    `culprit`, `others`: jobs; `tail`: chance of flagging where both fail at the same rate.
    """
    mine, theirs = (
        binom.pmf(np.arange(n + 1), n, share) for n, share in ((culprit, bad), (others, usual))
    )
    whole = drawn = 0.0
    for failures in range(culprit + others + 1):
        own = np.arange(max(0, failures - others), min(culprit, failures) + 1)
        chance = mine[own] * theirs[failures - own]
        if chance.sum() < NEGLIGIBLE:
            continue
        at_least = hypergeom.sf(own - 1, culprit + others, failures, culprit)
        is_flagged = at_least <= tail
        whole += chance[is_flagged].sum()
        last = int(np.argmax(is_flagged)) - 1 if is_flagged.any() else len(own) - 1
        if last >= 0:
            beyond = at_least[last + 1] if is_flagged.any() else 0.0
            drawn += chance[last] * (tail - beyond) / (at_least[last] - beyond)
    return whole, whole + drawn


def rows() -> list[str]:
    """Return the rows of the table."""
    cases = [
        (f"twice {wrong:.0%} wrong, {jobs} jobs against {5 * jobs:,}, limit of {name}",
         jobs, 5 * jobs, 0.8 * wrong, 1.6 * wrong, tail)
        for wrong, jobs, tail, name in (
            (0.15, 400, TECHNICIAN, "99.8%"),
            (0.05, 400, TECHNICIAN, "99.8%"),
            (0.05, 400, 0.025, "95%"),
            (0.05, 650, TECHNICIAN, "99.8%"),
        )
    ] + [
        (f"part 34% against 7%, 60 jobs against {13 * n}, {words}", 60, 13 * n, 0.07, 0.34, tail)
        for n in (1, 2, 3, 4)
        for tail, words in ((PART, "asked alone"), (PART / 70, "one of 70 part numbers"))
    ]  # fmt: skip
    found = [(name, best_power(*given)) for name, *given in cases]
    return [f"| {name} | {whole:.0%} | {drawn:.0%} |" for name, (whole, drawn) in found]


def main() -> None:
    """Write the table."""
    lines = [
        "Power of the best exact test of two shares (uniformly most powerful unbiased, conditional on "
        "all failures): on counts as they are, and with the last count decided by a drawn number, "
        f"which no page does. Computed, not simulated. {date.today()}.",
        "",
        "| planted | counts as they are | with a drawn number |",
        "| --- | --- | --- |",
        *rows(),
    ]
    write_section("What the best test could find", lines)
    print("\n".join(lines))


if __name__ == "__main__":
    main()
