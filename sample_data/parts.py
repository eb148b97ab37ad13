"""The invented part numbers, two of each part, one of which fails early, and who sold them."""

from functools import cache
from random import Random

from sample_data.shop import (
    EARLY_PART_COMPONENT,
    EARLY_PART_SHARE,
    SECOND_SUPPLIER_SHARE,
    SUPPLIER_UNKNOWN_SHARE,
    SUPPLIERS,
)


@cache
def catalogue(kind: str, component: str) -> tuple[str, str]:
    """Return the two part numbers of a component; the second of the planted one ends in -E."""
    rng = Random(f"{kind} {component}")
    prefix = "".join(rng.choice("BCDFGHJKLMNPRSTVWZ") for _ in range(2))
    first, second = (f"{prefix}{rng.randint(1000, 9999)}" for _ in range(2))
    return first, f"{second}-E" if (kind, component) == EARLY_PART_COMPONENT else second


def choose_part(
    rng: Random, kind: str, component: str, repair: dict[str, str], plants: frozenset[str]
) -> tuple[str, float] | None:
    """Return the number and cost of the part fitted, None when the repair needs none."""
    if not repair["repair"].startswith("replace_"):
        return None
    low, typical, high = (
        float(repair[f"part_cost_{name}_usd"] or 0) for name in ("low", "typ", "high")
    )
    if typical <= 0:
        return None
    share = EARLY_PART_SHARE if (kind, component) == EARLY_PART_COMPONENT else 0.4
    is_second = rng.random() < share
    number = catalogue(kind, component)[is_second]
    base = typical * (0.85 if is_second else 1.0)
    cost = min(max(base * rng.lognormvariate(0, 0.08), low), high)
    return number, round(cost, 2)


def supplier_of(job_id: str, part_no: str) -> str | None:
    """Return who sold the part fitted on a job; None where the shop did not note it.

    A part number has a usual supplier and a second one. Drawn apart from all else, so that it moves
    nothing else.
    """
    usual, second = Random(f"suppliers {part_no}").sample(SUPPLIERS, 2)
    draw = Random(f"supplier {job_id} {part_no}").random()
    if draw < SUPPLIER_UNKNOWN_SHARE:
        return None
    return second if draw > 1 - SECOND_SUPPLIER_SHARE else usual
