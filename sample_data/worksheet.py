"""One job as it is worked: its visits, readings and parts are written as they happen."""

from dataclasses import dataclass, field
from datetime import date, timedelta
from random import Random
from typing import Any

from sample_data import trade
from sample_data.diagnosis import Finding
from sample_data.parts import choose_part, supplier_of
from sample_data.shop import (
    BAD_MONTH,
    BAD_MONTH_VAN,
    KIT_DAY,
    LAST_WORKDAY,
    RIVAL_SHARE,
    TECHNICIANS,
    UNDER_COST,
    VAN,
    VAN_WITH_KIT,
    Technician,
    flat_price,
    parts_price,
    workday,
)


@dataclass(frozen=True)
class Unit:
    """One physical appliance and whose it is."""

    kind: str
    brand: str
    model: str
    serial: str
    customer: str
    phone: str
    branch: str
    year: int


@dataclass
class Shop:
    """Everything the shop did, as clean rows, and the truth that its records do not hold."""

    jobs: list[dict[str, Any]] = field(default_factory=list)
    visits: list[dict[str, Any]] = field(default_factory=list)
    readings: list[dict[str, Any]] = field(default_factory=list)
    part_lines: list[dict[str, Any]] = field(default_factory=list)
    truth: list[dict[str, Any]] = field(default_factory=list)
    story: set[str] = field(default_factory=set)


@dataclass(frozen=True)
class Call:
    """A complaint that comes in: on which unit, when, what for, and what is really wrong."""

    unit: Unit
    opened_on: date
    symptom: str
    true_cause: str
    callback_of: str = ""
    reason: str = ""


@dataclass
class Worksheet:
    """A job in progress: who is on it, which day and which visit it is."""

    rng: Random
    shop: Shop
    call: Call
    job_id: str
    person: Technician
    day: date
    plants: frozenset[str]
    visit_no: int = 1
    parts_cost: float = 0.0
    parts_charge: float = 0.0

    def send_the_best(self) -> None:
        """Send the most skilled person of the branch, who does not guess."""
        branch = [t for t in TECHNICIANS if t.branch == self.call.unit.branch]
        self.person = max(branch, key=lambda person: person.skill)

    def visits_before(self) -> None:
        """Make the visit that ends at a closed door, sometimes."""
        if self.rng.random() < 0.03:
            self.visit(Finding("", []), 0, "no_access")
            self.come_back(1, 4)

    def come_back(self, least: int, most: int) -> None:
        self.visit_no += 1
        self.day = workday(self.day + timedelta(days=self.rng.randint(least, most)))

    def fit(self, found: Finding) -> str | None:
        """Do what the finding calls for; return the number of the part fitted.

        A part that is not on the van, a second pair of hands or a bad new part takes more visits.
        """
        kind, repair = self.call.unit.kind, self.repair(found.cause)
        component = trade.causes()[kind, found.cause]["component"]
        part = choose_part(self.rng, kind, component, repair, self.plants)
        low, mode = float(repair["labour_min_low"]), float(repair["labour_min_mode"])
        labour = max(low * 0.7, mode * self.rng.lognormvariate(0, 0.28) * self.person.pace)
        nothing = Finding("", [])
        if part and self.rng.random() > self._on_van():
            outcome = "part_on_order" if self.rng.random() < 0.3 else "part_not_on_van"
            self.visit(found, 8 * self.person.pace, outcome)
            self.come_back(3, 9)
            found = nothing
        elif self.rng.random() < 0.02:
            self.visit(found, 15, "needs_two_people_or_tool")
            self.come_back(1, 5)
            found = nothing
        if part and self.rng.random() < 0.01:
            self.visit(found, labour, "defective_part")
            self.come_back(3, 8)
            found = nothing
        self.visit(found, labour, "completed")
        return self._write_part(part, component) if part else None

    def fit_at_once(self, found: Finding) -> None:
        """Do what the finding calls for in one visit, the part from the van."""
        kind, repair = self.call.unit.kind, self.repair(found.cause)
        component = trade.causes()[kind, found.cause]["component"]
        part = choose_part(self.rng, kind, component, repair, self.plants)
        self.visit(found, float(repair["labour_min_mode"]), "completed")
        if part:
            self._write_part(part, component)

    def fit_rival(self, found: Finding) -> None:
        """Fit the part of the rival cause on the same visit, to be safe, though it is good.

        Drawn apart from all else, so that it moves nothing but this job's parts.
        """
        kind, rng = self.call.unit.kind, Random(f"rival {self.job_id}")
        causes = trade.causes()
        component = causes[kind, found.rival]["component"] if found.rival else "none"
        is_true = component == causes[kind, self.call.true_cause]["component"]
        if component == "none" or is_true or rng.random() > RIVAL_SHARE:
            return
        part = choose_part(rng, kind, component, self.repair(found.rival), self.plants)
        if part:
            self._write_part(part, component)

    def _on_van(self) -> float:
        if "bad_month" not in self.plants:
            return VAN
        if self.day >= KIT_DAY:
            return VAN_WITH_KIT
        return BAD_MONTH_VAN if (self.day.year, self.day.month) == BAD_MONTH else VAN

    def repair(self, cause: str) -> dict[str, str]:
        """Return the repair that a cause calls for."""
        row = trade.causes()[self.call.unit.kind, cause]
        return trade.repair_of(self.call.unit.kind, row["component"], row["cause_class"])

    def _write_part(self, part: tuple[str, float], component: str) -> str:
        part_no, cost = part
        charge = round(parts_price(cost), 2)
        self.parts_cost += cost
        self.parts_charge += charge
        self.shop.part_lines.append(
            {
                "job_id": self.job_id,
                "visit_no": self.visit_no,
                "part_no": part_no,
                "component": component,
                "supplier": supplier_of(self.job_id, part_no),
                "quantity": 1,
                "unit_cost": cost,
                "unit_charge": charge,
                "from_van": self.visit_no == 1,
                "on_hand": True,
            }
        )
        return part_no

    def visit(self, found: Finding, labour: float, outcome: str) -> None:
        """Write one visit with the readings taken on it."""
        is_attended = outcome not in ("no_access", "customer_cancelled")
        testing = sum(minutes for _, _, minutes in found.tests)
        reach = 10 * self.rng.lognormvariate(0, 0.3) if found.tests else 4
        self.shop.visits.append(
            {
                "job_id": self.job_id,
                "visit_no": self.visit_no,
                "technician": self.person.name,
                "day": min(self.day, LAST_WORKDAY),
                "hour": self.rng.randint(8, 16),
                "minutes": round(testing + reach + labour) if is_attended else 0,
                "travel": round(self.rng.triangular(6, 55, 22)),
                "outcome": outcome,
            }
        )
        for seq, (point, shown, minutes) in enumerate(found.tests, start=1):
            self.shop.readings.append(
                {
                    "job_id": self.job_id,
                    "visit_no": self.visit_no,
                    "seq": seq,
                    "test_point": point,
                    "value": shown.text,
                    "noted": shown.noted,
                    "nameplate": shown.nameplate,
                    "minutes": minutes,
                    "meter": self.person.meter,
                }
            )

    def close_repaired(self, root_cause: str | None, done_for: str) -> None:
        """Close the job as repaired, at the shop's price; most callbacks are free."""
        kind, repair = self.call.unit.kind, self.repair(done_for)
        is_under = "under_cost" in self.plants and (kind, repair["repair"]) in UNDER_COST
        price = flat_price(float(repair["labour_min_mode"]), self.parts_cost, is_under)
        is_free = bool(self.call.callback_of) and self.rng.random() < 0.85
        self.close(
            "repaired",
            root_cause,
            repair["repair"],
            0.0 if is_free else price,
            0.0 if is_free else round(self.parts_charge, 2),
        )

    def close(
        self,
        disposition: str,
        root_cause: str | None,
        repair_code: str | None,
        charged: float | None,
        parts_charged: float | None,
    ) -> None:
        """Write the job itself."""
        unit, call = self.call.unit, self.call
        is_said = bool(call.callback_of) and self.rng.random() < 0.15
        self.shop.jobs.append(
            {
                "job_id": self.job_id,
                "opened_on": call.opened_on,
                "closed_on": None if disposition == "open" else min(self.day, LAST_WORKDAY),
                "branch": unit.branch,
                "technician": self.person.name,
                "customer": unit.customer,
                "phone": unit.phone,
                "serial": unit.serial,
                "appliance_kind": unit.kind,
                "brand": unit.brand,
                "model": unit.model,
                "built_year": unit.year,
                "symptom": call.symptom,
                "root_cause": root_cause,
                "repair_code": repair_code,
                "disposition": disposition,
                "callback_of": call.callback_of if is_said else None,
                "charged": charged,
                "parts_charged": parts_charged,
            }
        )

    def note_truth(self, diagnosis: str) -> None:
        """Write down what was really wrong; the shop's records never hold it."""
        cause = trade.causes()[self.call.unit.kind, self.call.true_cause]
        self.shop.truth.append(
            {
                "record": "job",
                "job_id": self.job_id,
                "true_cause": self.call.true_cause,
                "true_component": cause["component"],
                "diagnosis": diagnosis,
                "is_callback_of": self.call.callback_of,
                "plant": "",
                "detail": self.call.reason,
                "changed_on": "",
                "measure": "",
                "effect": "",
            }
        )
