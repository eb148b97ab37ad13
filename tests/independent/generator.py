"""A second invented shop, which shares no code with the program or the sample shop.

generate(seed, plants) draws complaints, diagnoses, visits, readings and parts, and keeps them as
plain rows under our field names. Names, prices and rates are invented. Every plant may be left out.
"""

import csv
import random
from dataclasses import dataclass, field
from datetime import date, timedelta
from pathlib import Path

from tests.independent.invented_shop import (
    BAD,
    BAD_MONTH,
    BAD_PART,
    CAUSES,
    DAYS,
    FIRST,
    LOW_PRICE,
    MISSING_PART,
    OFF_METER,
    PLANTS,
    SOUND,
    TECHNICIANS,
    USUAL,
    WRONG_TECHNICIAN,
)


@dataclass
class Drawn:
    """The rows of a drawn shop by table, in the order in which they were drawn."""

    seed: int
    jobs: int
    plants: frozenset
    tables: dict = field(
        default_factory=lambda: {"jobs": [], "visits": [], "readings": [], "part_lines": []}
    )

    def __post_init__(self) -> None:
        self.random = random.Random(self.seed)
        self.end = FIRST + timedelta(days=DAYS)
        self.number = 0
        for _ in range(self.jobs):
            self._complaint(FIRST + timedelta(days=self.random.randrange(DAYS)))

    def _complaint(self, opened: date) -> None:
        """Draw one complaint on an appliance of its own, and what came back of it."""
        kind, symptom = self.random.choice(list(CAUSES))
        self.number += 1
        customer = f"Customer {self.number}" if self.random.random() > 0.08 else ""  # a unit each
        causes = list(CAUSES[kind, symptom])
        self.random.shuffle(causes)
        if self.random.random() < 0.06:
            self._other_end(opened, kind, symptom, customer)
            return
        technician = self.random.choice(TECHNICIANS)
        is_bad = "technician" in self.plants and technician == WRONG_TECHNICIAN
        is_wrong = self.random.random() < (BAD if is_bad else USUAL)
        if is_wrong and self.random.random() < 0.5:
            closed, _ = self._repair(opened, kind, symptom, customer, technician, causes[::-1][:1])
            back = closed + timedelta(days=self.random.randint(2, 25))
            self._return(back, kind, symptom, customer, causes[0])
            return
        tried = causes[::-1] if is_wrong else causes[:1]
        closed, parts = self._repair(opened, kind, symptom, customer, technician, tried)
        share = BAD if "part" in self.plants and BAD_PART in parts else 0.04
        if self.random.random() < share:
            back = closed + timedelta(days=self.random.randint(1, 60))
            self._return(back, kind, symptom, customer, causes[0])

    def _return(self, opened: date, kind: str, symptom: str, customer: str, cause: tuple) -> None:
        if opened < self.end and customer:
            who = self.random.choice(TECHNICIANS)
            self._repair(opened, kind, symptom, customer, who, [cause])

    def _other_end(self, opened: date, kind: str, symptom: str, customer: str) -> None:
        """Draw a job that was declined, called off, or on which nothing was found."""
        ending = self.random.choice(("declined", "cancelled", "no_fault_found"))
        job = self._job(opened, opened, kind, symptom, customer, ending)
        if ending != "cancelled":
            self._visit(job, 1, self.random.choice(TECHNICIANS), opened, 20, "completed")

    def _repair(
        self,
        opened: date,
        kind: str,
        symptom: str,
        customer: str,
        technician: str,
        tried: list[tuple],
    ) -> tuple[date, list[str]]:
        """Draw one repaired job that tries causes until the last; return its end and its parts."""
        steps, fitted = [], []
        for cause in tried:
            part = self._part(kind, cause)
            fitted.append(part)
            if self.random.random() < self._chance_of_missing(opened, part):
                steps.append(("part_not_on_van", None, None))
            elif self.random.random() < 0.04:
                steps.append(("no_access", None, None))
            steps.append(("misdiagnosis", cause, part))
        steps[-1] = ("completed", *steps[-1][1:])
        closed = opened + timedelta(days=1 + 2 * (len(steps) - 1))
        job = self._job(opened, closed, kind, symptom, customer, "repaired")
        final, minutes, cost = tried[-1], 0, 0
        for place, (outcome, cause, part) in enumerate(steps):
            spent = round((cause or final)[3] * self.random.lognormvariate(0, 0.2))
            spent = 0 if outcome == "no_access" else spent // (1 if cause else 2)
            day = opened + timedelta(days=1 + 2 * place)
            self._visit(job, place + 1, technician, day, spent, outcome)
            minutes += spent
            if part:
                self._line(job, place + 1, part, cause)
                cost += cause[4]
        self._readings(job, kind, technician, {cause[1] for cause in tried})
        price = 1.6 * (110 * (final[3] + 25) / 60 + final[4] * 1.2)
        is_low = "price" in self.plants and (kind, final[2]) == LOW_PRICE
        job |= {
            "root_cause": final[0],
            "repair_code": final[2],
            "charged": round(price * (0.4 if is_low else 1)),
        }
        return closed, fitted

    def _chance_of_missing(self, opened: date, part: str) -> float:
        if "missing" in self.plants and part == MISSING_PART:
            return 0.9
        if "month" in self.plants and f"{opened:%Y-%m}" == BAD_MONTH:
            return 0.45
        return 0.08

    def _part(self, kind: str, cause: tuple) -> str:
        """Draw one of the component's two part numbers."""
        return f"N-{kind}-{cause[1]}-{self.random.randint(1, 2)}"

    def _job(
        self,
        opened: date,
        closed: date,
        kind: str,
        symptom: str,
        customer: str,
        disposition: str,
    ) -> dict:
        row = {
            "job_id": str(len(self.tables["jobs"]) + 1),
            "opened_on": opened.isoformat(),
            "closed_on": closed.isoformat() if closed <= self.end else "",
            "appliance_kind": kind,
            "symptom": symptom,
            "disposition": disposition if closed <= self.end else "open",
            "customer": customer,
            "branch": self.random.choice(("North yard", "South yard")),
            "brand": "Quillmar",
            "model": "Q1",
            "root_cause": "",
            "repair_code": "",
            "charged": "",
        }
        self.tables["jobs"].append(row)
        return row

    def _visit(
        self, job: dict, number: int, technician: str, day: date, minutes: float, outcome: str
    ) -> None:
        if day > self.end:
            return
        self.tables["visits"].append(
            {
                "job_id": job["job_id"],
                "visit_no": number,
                "technician": technician,
                "arrived_at": f"{day.isoformat()} 09:00",
                "minutes_on_job": minutes,
                "travel_minutes": self.random.randint(10, 30),
                "outcome": outcome,
            }
        )

    def _line(self, job: dict, visit: int, part: str, cause: tuple) -> None:
        self.tables["part_lines"].append(
            {
                "job_id": job["job_id"],
                "visit_no": visit,
                "part_no": part,
                "component": cause[1],
                "quantity": 1,
                "unit_cost": cause[4],
                "unit_charge": cause[4] * 2,
            }
        )

    def _readings(self, job: dict, kind: str, technician: str, suspects: set) -> None:
        """Draw a reading at every test point of the kind whose part is sound."""
        is_off = "meter" in self.plants and technician == OFF_METER
        sound = [point for point in SOUND[kind] if point[2] not in suspects]
        for place, (point, ohm, _) in enumerate(sound, start=1):
            value = ohm * self.random.lognormvariate(0, 0.06) * (1.12 if is_off else 1)
            self.tables["readings"].append(
                {
                    "job_id": job["job_id"],
                    "visit_no": 1,
                    "seq": place,
                    "test_point": point,
                    "value": f"{value:.1f}",
                    "unit": "ohm",
                }
            )

    def write(self, folder: Path) -> list[Path]:
        """Write the tables as CSV files and return their paths."""
        folder.mkdir(parents=True, exist_ok=True)
        paths = []
        for name, rows in self.tables.items():
            path = folder / f"{name}.csv"
            with path.open("w", newline="", encoding="utf-8") as file:
                writer = csv.DictWriter(file, list(rows[0]))
                writer.writeheader()
                writer.writerows(rows)
            paths.append(path)
        return paths


def generate(seed: int, plants: tuple = PLANTS, jobs: int = 3000) -> Drawn:
    """Return a drawn shop with these plants; the same seed gives the same rows."""
    return Drawn(seed, jobs, frozenset(plants))
