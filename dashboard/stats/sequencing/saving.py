"""How many minutes a better order of tests saves, and how sure that is."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

import numpy as np

from dashboard.stats.sequencing.cause_prior import PRIOR_JOBS, blend
from dashboard.stats.sequencing.chain import Chain
from dashboard.stats.sequencing.exact import expected_minutes, steps, where_orders_part

RESAMPLES = 2000


@dataclass(frozen=True)
class Saving:
    """Expected minutes of both orders and their difference.

    `low` and `high`: 95 % interval of `saving_min`, None without jobs. `parts_at`: 0-based position
    of the first different test, None for equal orders. `n`: own jobs whose cause is in the chain.
    """

    usual_min: float
    better_min: float
    saving_min: float
    low: float | None
    high: float | None
    parts_at: int | None
    n: int


def order_saving(
    chain: Chain,
    usual: Sequence[str],
    better: Sequence[str],
    counts: Mapping[str, int],
    weights: Mapping[str, float],
    prior_jobs: float = PRIOR_JOBS,
    resamples: int = RESAMPLES,
    seed: int = 0,
) -> Saving:
    """Return the saving of `better` over `usual` with a 95 % percentile bootstrap interval by job.

    Both orders must hold the same tests. The cause mix is the blend of `counts` and `weights` over
    the chain's causes (jobs of other causes are left out); the weights in `chain.causes` are not
    used. Each resample draws the shop's own jobs and blends again; the orders stay as they are, so
    the interval says how sure the saving of *this* order is, and it is a little hopeful where
    `better` was chosen on the same jobs. A negative saving is possible: a usual order that breaks a
    safety rule can be quicker. No own jobs: low and high None. One job: an interval of no width.
    Raises ValueError when the orders differ in their tests, when neither jobs nor weights are
    given, and as `steps`. Source: Efron & Tibshirani 1993, chapter 13 (from memory).
    """
    if set(usual) != set(better):
        raise ValueError("order saving: both orders must hold the same tests")
    own = {cause: counts.get(cause, 0) for cause in chain.causes}
    prior = {cause: weights.get(cause, 0.0) for cause in chain.causes}
    fitted = replace(chain, causes=blend(own, prior, prior_jobs))
    usual_min, better_min = expected_minutes(fitted, usual), expected_minutes(fitted, better)
    low = high = None
    if sum(own.values()):
        mixes = _resampled_mixes(own, prior, prior_jobs, resamples, seed)
        savings = mixes @ _gain_by_cause(fitted, usual, better)
        low, high = (float(edge) for edge in np.quantile(savings, [0.025, 0.975]))
    parts_at, n = where_orders_part(usual, better), int(sum(own.values()))
    return Saving(usual_min, better_min, usual_min - better_min, low, high, parts_at, n)


def _gain_by_cause(chain: Chain, usual: Sequence[str], better: Sequence[str]) -> np.ndarray:
    """Return minutes saved given each cause; where elimination ends a search is kept as it is."""
    spent = [_minutes_by_cause(chain, order) for order in (usual, better)]
    return np.array([before - after for before, after in zip(*spent, strict=True)])


def _minutes_by_cause(chain: Chain, order: Sequence[str]) -> list[float]:
    """Return the expected minutes given each cause."""
    by_name = {test.name: test for test in chain.tests}
    walked = [step for step in steps(chain, order) if step.chance_reached > 0]
    result = []
    for cause in chain.causes:
        searching, minutes = 1.0, 0.0
        for step in walked:
            minutes += step.minutes * searching
            searching *= 1 - by_name[step.test].finds(cause)
        result.append(minutes)
    return result


def _resampled_mixes(
    counts: Mapping[str, int],
    weights: Mapping[str, float],
    prior_jobs: float,
    resamples: int,
    seed: int,
) -> np.ndarray:
    """Return one blended cause mix per row, its jobs drawn from the shop's own."""
    jobs, weight = np.array(list(counts.values())), np.array(list(weights.values()))
    n, total = jobs.sum(), weight.sum()
    prior = prior_jobs * weight / total if total > 0 else np.zeros(len(weight))
    drawn = np.random.default_rng(seed).multinomial(n, jobs / n, size=resamples)
    mixes: np.ndarray = (drawn + prior) / (n + prior.sum())
    return mixes
