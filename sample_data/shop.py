"""The invented shop: its town, branches, technicians, brands, customers and their appliances."""

from dataclasses import dataclass
from datetime import date, timedelta
from random import Random

FIRST_DAY = date(2025, 5, 1)
LAST_DAY = date(2026, 10, 31)

BRANCHES = ("Harbor Street", "Millgate")


@dataclass(frozen=True)
class Technician:
    """A technician: how well he reads evidence (0 to 1), how fast he works, what he leaves undone.

    `pace` multiplies minutes; `slips` is the share of repairs that come back for workmanship.
    """

    name: str
    branch: str
    skill: float
    pace: float
    slips: float
    meter: str


TECHNICIANS = (
    Technician("Ada Fenwick", BRANCHES[0], 0.97, 0.92, 0.010, "M-01"),
    Technician("Boyd Larkin", BRANCHES[0], 0.93, 1.00, 0.014, "M-02"),
    Technician("Corin Vale", BRANCHES[0], 0.92, 1.05, 0.014, "M-03"),
    Technician("Della Stroud", BRANCHES[0], 0.86, 1.12, 0.020, "M-04"),
    Technician("Ezra Quill", BRANCHES[0], 0.78, 1.22, 0.028, "M-05"),
    Technician("Farrah Oaks", BRANCHES[1], 0.95, 0.95, 0.012, "M-06"),
    Technician("Gus Penrose", BRANCHES[1], 0.90, 1.00, 0.016, "M-07"),
    Technician("Hollis Reed", BRANCHES[1], 0.84, 1.10, 0.022, "M-08"),
    Technician("Tobin Marsh", BRANCHES[1], 0.88, 0.90, 0.018, "M-09"),
)

# Invented brands: no maker has these names.
BRANDS = ("Alderbrook", "Brixham", "Corvane", "Dunmere", "Eastlow", "Farholt", "Grenwick")

KIND_SHARES = {
    "washer": 0.23,
    "dryer_electric": 0.20,
    "refrigerator": 0.19,
    "dishwasher": 0.12,
    "range_electric": 0.09,
    "dryer_gas": 0.07,
    "room_ac": 0.06,
    "microwave": 0.04,
}
# Calls by month, January first, against an even year.
SEASONS = {
    "room_ac": (0.1, 0.1, 0.2, 0.5, 1.4, 2.6, 3.2, 2.4, 1.0, 0.3, 0.1, 0.1),
    "refrigerator": (0.85, 0.85, 0.9, 0.95, 1.05, 1.2, 1.3, 1.2, 1.05, 0.95, 0.85, 0.85),
}
WEEKDAYS = (1.35, 1.1, 1.0, 1.0, 1.0, 0.5, 0.05)  # Monday first

FIRST_NAMES = "Ann Ben Cora Dan Eve Finn Gail Hank Iris Joel Kay Leo Mae Ned Opal Pete Rae Sid".split()
LAST_NAMES = (
    "Ashdown Birchall Cobbett Dunlow Elmhurst Fairlie Grimsby Hartwell Ingleby Jarrow Kestrel "
    "Lowther Merrow Norland Ockham Penhale Quayle Ridley Stanmoor Thorne Underhay Wexley"
).split()


@dataclass(frozen=True)
class Unit:
    """One appliance of one customer; customer or serial '' = the shop never wrote it down."""

    unit_no: int
    branch: str
    kind: str
    brand: str
    model: str
    built_year: int
    serial: str
    customer: str
    phone: str


def new_unit(rng: Random, unit_no: int, kind: str) -> Unit:
    """Invent a customer's appliance; one in ten can never be recognised again."""
    brand = rng.choice(BRANDS)
    built_year = 2025 - min(int(rng.expovariate(1 / 6.5)), 22)
    is_unknown = rng.random() < 0.10
    has_serial = not is_unknown and rng.random() < 0.85
    has_customer = not is_unknown and (not has_serial or rng.random() < 0.97)
    serial = f"{brand[0]}{built_year % 100:02d}{rng.randrange(10**7):07d}"
    customer = f"{rng.choice(FIRST_NAMES)} {rng.choice(LAST_NAMES)}"
    phone = f"555-01{rng.randrange(100):02d} x{unit_no}"
    return Unit(
        unit_no,
        BRANCHES[rng.random() < 0.46],
        kind,
        brand,
        f"{brand[:2].upper()}{kind[0].upper()}{rng.randrange(100, 140)}",
        built_year,
        serial if has_serial else "",
        customer if has_customer else "",
        phone if has_customer else "",
    )


def opening_days(rng: Random, kind: str, count: int) -> list[date]:
    """Draw the days on which calls about a kind come in, by season and weekday."""
    days = [FIRST_DAY + timedelta(n) for n in range((LAST_DAY - FIRST_DAY).days + 1)]
    season = SEASONS.get(kind, (1.0,) * 12)
    weights = [season[day.month - 1] * WEEKDAYS[day.weekday()] for day in days]
    return rng.choices(days, weights, k=count)


class Diary:
    """Who is free when: five starts a day and technician, none on Sundays."""

    STARTS = (485, 600, 735, 855, 965)  # minutes after midnight

    def __init__(self) -> None:
        self.booked: dict[tuple[str, date], int] = {}

    def book(self, technician: Technician, day: date) -> tuple[date, int]:
        """Book the first free start on or after a day; returns day and minute of the day."""
        while day.weekday() == 6 or self.booked.get((technician.name, day), 0) >= len(self.STARTS):
            day += timedelta(1)
        taken = self.booked.get((technician.name, day), 0)
        self.booked[technician.name, day] = taken + 1
        return day, self.STARTS[taken]
