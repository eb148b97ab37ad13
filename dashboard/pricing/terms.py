"""The shop's own terms of pricing, from its settings: what an hour, a trip and a part cost."""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from dashboard.pricing.price import Slab, flat_rate, loaded_labour

CALL_FEE_REPAIRS = frozenset(("adjust_level", "instruct_user"))  # no repair: the call is charged


@dataclass(frozen=True)
class Terms:
    """What every price rests on: money in the shop's currency, minutes, fractions.

    `slabs` empty: parts take the target margin like the rest.
    """

    labour_per_hour: float
    target_margin: float
    quantile: float
    price_step: float
    trip_cost: float
    travel_min_per_trip: float
    consumables: float
    other_cost: float
    warranty_days: int
    call_fee: float
    slabs: tuple[Slab, ...] = ()

    def labour(self, minutes: float) -> float:
        """Return what so many minutes of a technician cost."""
        return minutes / 60 * self.labour_per_hour

    def price(self, service_cost: float, parts_cost: float, parts_price: float) -> float:
        """Return the flat rate, rounded up to the step once, at the end.

        Service at cost / (1 - margin). With slabs, parts at `parts_price`: each one marked up on
        its own. Without slabs, parts at the same margin as the service.
        """
        if not self.slabs:
            return flat_rate(service_cost + parts_cost, self.target_margin, self.price_step)
        whole = flat_rate(service_cost, self.target_margin) + parts_price
        return flat_rate(whole, 0.0, self.price_step)


def terms_of(settings: Mapping[str, Any]) -> Terms:
    """Return the terms that the settings say."""
    labour = loaded_labour(
        settings["wage_per_hour"],
        settings["burden_rate"],
        settings["billable_share"],
        settings["paid_hours"],
        settings["overhead_per_technician"],
    )
    return Terms(
        labour_per_hour=labour.per_hour,
        target_margin=settings["target_margin"],
        quantile=settings["planned_quantile"],
        price_step=settings["price_step"],
        trip_cost=settings["trip_cost"],
        travel_min_per_trip=settings["travel_minutes"],
        consumables=settings["consumables_cost"],
        other_cost=settings["other_cost_per_job"],
        warranty_days=settings["warranty_days"],
        call_fee=settings["diagnosis_fee"],
        slabs=tuple(Slab(*pair) for pair in settings["parts_slabs"]),
    )
