"""Invented jobs whose every money and minute column is known, for four shops' ways of writing."""

import random
from dataclasses import dataclass, field
from datetime import date, datetime, timedelta

RATE = {"uk": 0.20, "fr": 0.20, "de": 0.19, "us": 0.0}


@dataclass(frozen=True)
class Job:
    """One job in cents and minutes; visits are (start, minutes, travel), parts (no, name, n, price)."""

    number: int
    opened: date
    technician: str
    place: int  # of the kind, complaint, … in a shop's lists
    customer: str
    visits: list[tuple[datetime, int, int]]
    parts: list[tuple[str, int, int, int]]
    labor: int
    trip: int
    rate: float
    is_respelled: bool = False
    discount: int = 0
    words: dict[str, str] = field(default_factory=dict)

    @property
    def closed(self) -> date:
        return self.visits[-1][0].date()

    @property
    def minutes(self) -> int:
        return sum(minutes for _, minutes, _ in self.visits)

    @property
    def travel(self) -> int:
        return sum(travel for *_, travel in self.visits)

    @property
    def of_parts(self) -> int:
        return sum(count * price for _, _, count, price in self.parts)

    @property
    def net(self) -> int:
        return self.labor + self.trip + self.of_parts - self.discount

    @property
    def tax(self) -> int:
        return round(self.net * self.rate)


def jobs(
    shop: str, crew: list[str], places: int, count: int = 80, most_visits: int = 2
) -> list[Job]:
    """Draw the jobs of a shop; hours of labor are quarters, so that they can be written as 1.25."""
    rng = random.Random(f"{shop} 88")
    return [_job(rng, shop, crew, places, number, most_visits) for number in range(count)]


def _job(
    rng: random.Random, shop: str, crew: list[str], places: int, number: int, most_visits: int
) -> Job:
    opened = date(2025, 1, 7) + timedelta(days=3 * number + rng.randrange(3))
    visits = []
    for trip in range(rng.choice(range(1, most_visits + 1))):
        start = datetime(opened.year, opened.month, opened.day, rng.randrange(8, 16), 15)
        visits.append(
            (start + timedelta(days=2 * trip), 15 * rng.randrange(2, 9), 5 * rng.randrange(2, 9))
        )
    parts = [
        (f"{rng.choice('KTRN')}{rng.randrange(100, 130)}-{n}", n, rng.choice([1, 1, 2]),
         rng.randrange(1250, 21_000))
        for n in rng.sample(range(3), rng.choice([0, 1, 1, 2]))
    ]  # fmt: skip
    hours = sum(minutes for _, minutes, _ in visits) / 60
    return Job(
        number=40_100 + number,
        opened=opened,
        technician=rng.choice(crew),
        place=rng.randrange(places),
        customer=f"{rng.choice('ABCD')}{rng.randrange(100, 160)}",
        visits=visits,
        parts=parts,
        labor=round(hours * 8400),
        trip=rng.choice([3500, 4200]),
        rate=RATE[shop],
        is_respelled=rng.random() < 0.3,
        discount=rng.choice([0, 0, 0, 1500]),
    )
