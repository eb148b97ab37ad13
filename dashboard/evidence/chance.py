"""The chance that a replaced part was at fault, calibrated on the shop's own outcomes."""

from dataclasses import dataclass
from itertools import product

import numpy as np
import pandas as pd
from numpy.typing import ArrayLike, NDArray
from scipy.special import expit, logit

from dashboard.stats.logistic import LogisticCurve, fit_logistic

LEAST_PARTS = 200  # judged parts from which the shop's own curve is fitted
AT = 3.0  # log odds and log ratio of the weak parts that keep every coefficient finite


@dataclass(frozen=True)
class PartChance:
    """How likely a part was at fault, given what the readings said of it.

    `curve` gives the chance that a part held; None with fewer than LEAST_PARTS judged parts: then
    it is Bayes' rule, with the share of parts that held as the prior. `held` of `parts` were right
    as far as outcomes show, and outcomes show `seen_share` of the wrong ones: the chance of being
    wrong is that of not holding, divided by it.
    """

    parts: int
    held: int
    seen_share: float
    curve: LogisticCurve | None

    def of(self, rows: pd.DataFrame) -> NDArray[np.float64]:
        """Return the chance of each part, 0–1, from log_ratio, log_odds, is_second.

        NaN where nothing is known of it or of any part.
        """
        if self.curve is not None:
            return self.allowed(self.curve.chance(_features(rows)))
        if not self.parts:
            return np.full(len(rows), np.nan)
        prior = self.allowed((self.held + 1) / (self.parts + 2))
        certain = 0.5 / (self.parts + 2)  # some prior is always left
        log_odds = logit(np.clip(prior, certain, 1 - certain))
        chance: NDArray[np.float64] = expit(log_odds + rows["log_ratio"].to_numpy(float))
        return chance

    def allowed(self, held: ArrayLike) -> NDArray[np.float64]:
        """Return the share that was right where `held` showed nothing wrong."""
        return np.clip(1 - (1 - np.asarray(held, float)) / self.seen_share, 0, 1)


def _features(rows: pd.DataFrame) -> NDArray[np.float64]:
    """Return log odds below and above even, log ratio, and whether an earlier part had not cured.

    Two slopes: odds below even rest mostly on the prior of rare causes, which a technician who
    looks and listens overrules; odds above it rest on readings. The ratio once more: equal odds are
    worth more where readings made them than where the usual causes alone did.
    """
    odds = rows["log_odds"].to_numpy(float)
    second = rows["is_second"].astype(float).to_numpy()
    ratio = rows["log_ratio"].to_numpy(float)
    return np.column_stack([np.minimum(odds, 0), np.maximum(odds, 0), second, ratio])


def _weak(usual: float) -> pd.DataFrame:
    """Return four parts in weight that held as often as all others, far from even on each side."""
    sides = product((-AT, AT), (-AT, AT), (False, True))
    rows = pd.DataFrame(list(sides), columns=["log_odds", "log_ratio", "is_second"])
    return rows.assign(parts=0.5, held=usual / 2)


def part_chance(outcomes: pd.DataFrame) -> PartChance:
    """Fit the chance on rows of pages/part_outcomes.

    Columns log_ratio, log_odds, is_second, parts, held, seen_share. Weak parts are added: without
    them a shop whose second parts were all right would have no curve.
    """
    parts, held = int(outcomes["parts"].sum()), int(outcomes["held"].sum())
    if not parts:
        return PartChance(0, 0, 1.0, None)
    seen, curve = float(outcomes["seen_share"].iloc[0]), None
    if parts >= LEAST_PARTS:
        rows = pd.concat([outcomes, _weak((held + 1) / (parts + 2))])
        curve = fit_logistic(_features(rows), rows["parts"], rows["held"])
    return PartChance(parts, held, seen, curve)


def share_right(parts: pd.DataFrame, chance: PartChance) -> float | None:
    """Return the mean chance of rows of pages/pattern_parts; None without any."""
    each = chance.of(parts)
    total = parts["parts"].sum()
    if not total or np.isnan(each).any():
        return None
    return float(np.sum(each * parts["parts"]) / total)
