"""The chance that a replaced part was at fault, calibrated on the shop's own outcomes."""

from dataclasses import dataclass

import numpy as np
import pandas as pd
from numpy.typing import NDArray
from scipy.special import expit, logit

from dashboard.stats.logistic import LogisticCurve, fit_logistic
from dashboard.stats.proportion import wilson

LEAST_PARTS = 200  # judged parts from which the shop's own curve is fitted
TENTHS = 10


@dataclass(frozen=True)
class PartChance:
    """How likely a part was at fault, given what the readings said of it.

    `curve` is the shop's own logistic curve over the posterior log odds; None with fewer than
    LEAST_PARTS judged parts, or when no curve fits: then it is Bayes' rule, with the share of parts
    that held as the prior. `held` of `parts` were right as far as anybody knows.
    """

    parts: int
    held: int
    curve: LogisticCurve | None

    def of(self, log_ratio: object, log_odds: object) -> NDArray[np.float64]:
        """Return the chance of each part, 0–1; NaN where nothing is known of it or of any part."""
        if self.curve is not None:
            return self.curve.chance(log_odds)
        if not self.parts:
            return np.full(np.shape(log_ratio), np.nan)
        prior = (self.held + 1) / (self.parts + 2)  # never 0 or 1: some prior is always left
        return expit(logit(prior) + np.asarray(log_ratio, float))


def part_chance(outcomes: pd.DataFrame) -> PartChance:
    """Fit the chance on rows of pages/part_outcomes: log_ratio, log_odds, parts, held."""
    parts, held = int(outcomes["parts"].sum()), int(outcomes["held"].sum())
    curve = None
    if parts >= LEAST_PARTS:
        by_odds = outcomes.groupby("log_odds")[["parts", "held"]].sum()
        curve = fit_logistic(by_odds.index.to_numpy(), by_odds["parts"], by_odds["held"])
    return PartChance(parts, held, curve)


def share_right(parts: pd.DataFrame, chance: PartChance) -> float | None:
    """Return the mean chance of parts with columns log_ratio, log_odds, parts; None without any."""
    each = chance.of(parts["log_ratio"], parts["log_odds"])
    total = parts["parts"].sum()
    if not total or np.isnan(each).any():
        return None
    return float(np.sum(each * parts["parts"]) / total)


def calibration(outcomes: pd.DataFrame, chance: PartChance) -> pd.DataFrame:
    """Return ten groups of parts by chance: parts, chance (mean), held, share, low, high (Wilson).

    Parts of the same chance stay together, so a group may be larger than a tenth and fewer than
    ten may be left. No outcomes: no rows.
    """
    rows = outcomes.assign(chance=chance.of(outcomes["log_ratio"], outcomes["log_odds"]))
    rows = rows.sort_values("chance", kind="stable")
    middle = rows["parts"].cumsum() - rows["parts"] / 2
    rows["tenth"] = np.floor(TENTHS * middle / max(rows["parts"].sum(), 1)).astype(int)
    rows["weighted"] = rows["chance"] * rows["parts"]
    groups = rows.groupby("tenth", as_index=False)[["parts", "held", "weighted"]].sum()
    limits = [wilson(held, parts) for held, parts in zip(groups.held, groups.parts, strict=True)]
    return pd.DataFrame(
        {
            "parts": groups["parts"],
            "chance": groups["weighted"] / groups["parts"],
            "held": groups["held"],
            "share": groups["held"] / groups["parts"],
            "low": [each.low for each in limits],
            "high": [each.high for each in limits],
        }
    )
