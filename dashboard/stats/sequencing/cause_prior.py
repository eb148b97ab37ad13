"""A shop's cause mix: its own counts blended with the register's prior weights."""

from collections.abc import Mapping
from dataclasses import dataclass

from scipy.special import betaincinv

PRIOR_JOBS = 20.0  # the register's weights count as much as this many jobs of the shop's own


@dataclass(frozen=True)
class CauseShare:
    """One cause's share, with its 95 % credible interval and the jobs behind it."""

    share: float
    low: float
    high: float
    jobs: int


@dataclass(frozen=True)
class CauseMix:
    """The shares by cause (they sum to 1) and the number of own jobs they rest on."""

    shares: dict[str, CauseShare]
    n: int

    @property
    def mix(self) -> dict[str, float]:
        return {cause: each.share for cause, each in self.shares.items()}


def blend(
    counts: Mapping[str, float],
    weights: Mapping[str, float],
    prior_jobs: float = PRIOR_JOBS,
) -> dict[str, float]:
    """Return the shares (count + m * weight) / (n + m) by cause; the rest as `cause_mix`."""
    if min([*counts.values(), *weights.values(), prior_jobs], default=0) < 0:
        raise ValueError("cause mix: wanted counts, weights and prior jobs of 0 or more")
    n, total = sum(counts.values()), sum(weights.values())
    prior = prior_jobs if total > 0 else 0.0
    if n + prior <= 0:
        raise ValueError("cause mix: wanted at least one job or one prior weight")
    return {
        cause: (counts.get(cause, 0) + prior * weights.get(cause, 0) / (total or 1)) / (n + prior)
        for cause in dict.fromkeys([*weights, *counts])
    }


def cause_mix(
    counts: Mapping[str, int],
    weights: Mapping[str, float],
    prior_jobs: float = PRIOR_JOBS,
) -> CauseMix:
    """Blend a shop's counts with prior weights: (count + m * weight) / (n + m).

    This is the mean of a Dirichlet posterior; a cause's interval is that of its beta margin.
    `counts` are jobs by cause, `weights` the register's (divided by their sum). A cause in only one
    of the two counts 0 in the other, so a cause seen here but unknown to the register stays in.
    No own jobs: the weights themselves, n = 0. One cause: share 1, interval 1 to 1. A cause with
    neither jobs nor weight: share 0, interval 0 to 0, which says nothing about the next job.
    Raises ValueError for negative numbers, or when neither jobs nor weights are given.
    Source: Gelman et al., Bayesian Data Analysis, section 3.4 (from memory); m = 20 is judgement.
    """
    n = sum(counts.values())
    strength = n + (prior_jobs if sum(weights.values()) > 0 else 0.0)
    shares = {
        cause: CauseShare(share, *_interval(share, strength), int(counts.get(cause, 0)))
        for cause, share in blend(counts, weights, prior_jobs).items()
    }
    return CauseMix(shares, int(n))


def _interval(share: float, strength: float) -> tuple[float, float]:
    if share <= 0 or share >= 1:
        return share, share
    low, high = betaincinv(share * strength, (1 - share) * strength, [0.025, 0.975])
    return float(low), float(high)
