"""The settings of pricing and van stock. Defaults only show the arithmetic: put in your own.

The default wage, burden, hours and overhead are a worked example of the trade (common practice, no
source), as are the slabs: none of them is advice.
"""

from math import inf

from dashboard.settings.types import Setting, SlabsSetting

PRICING = (
    Setting("wage_per_hour", 32.0, "money per paid hour", "a technician's wage", 0, 1000),
    Setting("burden_rate", 0.25, "fraction of the wage", "taxes, insurance, benefits on top", 0, 3),
    Setting(
        "paid_hours", 2080.0, "hours per year", "hours paid to one technician in a year", 1, 8784
    ),
    Setting(
        "billable_share",
        0.577,
        "fraction of paid hours",
        "hours on jobs and on the road to them, of the hours paid; 1 would be every paid minute",
        0.05,
        1,
    ),
    Setting(
        "overhead_per_technician",
        48_000.0,
        "money per year",
        "rent, vans, office, insurance, for one technician",
        0,
        1_000_000,
    ),
    Setting("target_margin", 0.15, "fraction of the price", "what is left after all costs", 0, 0.9),
    Setting("planned_quantile", 0.75, "fraction of jobs", "jobs that end in time", 0.5, 0.95),
    Setting("price_step", 5.0, "money", "a price is rounded up to a multiple (0: not)", 0, 1000),
    Setting("trip_cost", 0.0, "money per trip", "what the trip costs beside the time", 0, 1000),
    Setting("travel_minutes", 25.0, "minutes per trip", "used where no travel is recorded", 0, 600),
    Setting("consumables_cost", 0.0, "money per job", "terminals, tape, tubing, solder", 0, 1000),
    Setting(
        "other_cost_per_job",
        0.0,
        "money per job",
        "any cost of a job not in the labour rate, such as diagnoses that others declined",
        0,
        10_000,
    ),
    SlabsSetting(
        "parts_slabs",
        ((10.0, 3.0), (50.0, 2.0), (inf, 1.6)),
        "pairs of part cost and factor",
        "each slice of a part's cost is multiplied by the factor of its slab",
    ),
    Setting("warranty_days", 90, "days", "a return within them is free to the customer", 0, 365),
    Setting("diagnosis_fee", 95.0, "money", "what a customer pays who declines", 0, 10_000),
)
STOCK = (
    Setting("restock_days", 7, "days", "a van is filled up once in so many days", 1, 90),
    Setting("van_budget", 5000.0, "money", "trade cost of the parts on one van", 0, 1_000_000),
    Setting("van_slots", 120, "units", "parts that fit into one van", 0, 5000),
)
