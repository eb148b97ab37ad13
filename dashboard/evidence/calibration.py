"""How good are the printed chances? Tenths of the parts by chance, against their outcomes."""

import numpy as np
import pandas as pd

from dashboard.evidence.chance import PartChance
from dashboard.stats.proportion import wilson

TENTHS = 10


def calibration(outcomes: pd.DataFrame, chance: PartChance) -> pd.DataFrame:
    """Return ten groups of parts by chance: parts, chance (mean), held, share, low, high.

    share = right, allowing for the wrong ones that no outcome shows; its limits are those of Wilson
    for the parts that held, allowed for in the same way. Parts of the same chance stay together, so
    a group may be larger than a tenth and fewer than ten may be left. No outcomes: no rows.
    """
    rows = outcomes.assign(chance=chance.of(outcomes))
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
            "share": chance.allowed(groups["held"] / groups["parts"]),
            "low": chance.allowed(np.array([each.low for each in limits], float)),
            "high": chance.allowed(np.array([each.high for each in limits], float)),
        }
    )
