"""The program's figures counted again from a drawn shop's rows, in plain Python.

Shares no code with the program: dictionaries and loops, the definitions as in the README.
"""

from collections import Counter, defaultdict
from datetime import date
from statistics import median

from tests.independent.invented_shop import CAUSES

WINDOW, HORIZON, WARRANTY = 30, 365, 90
LABOUR = 32 * 1.25 / 0.577 + 48000 / (2080 * 0.577)  # of an hour, by the default settings
FAMILY = {  # of the drawn complaints, by sql/lookups/symptoms.csv
    "warm_freezer": "cooling",
    "wont_start": "starting_running",
    "wont_drain": "drain_spin",
    "wont_spin": "drain_spin",
    "wont_fill": "water_supply",
    "wont_dry": "washing_result",
}
REASONS = {"part_not_on_van": "part_needed", "misdiagnosis": "misdiagnosed"}
COMPONENT = {cause[0]: cause[1] for both in CAUSES.values() for cause in both}


class Recount:
    """Jobs with their visits, parts and returns, and every figure asked of them."""

    def __init__(self, tables: dict) -> None:
        self.jobs = {row["job_id"]: dict(row) for row in tables["jobs"]}
        for name in ("visits", "readings", "part_lines"):
            for job in self.jobs.values():
                job[name] = []
            for row in tables[name]:
                self.jobs[row["job_id"]][name].append(row)
        days = [row[name] for row in tables["jobs"] for name in ("opened_on", "closed_on")]
        days += [row["arrived_at"][:10] for row in tables["visits"]]
        self.as_of = date.fromisoformat(max(days))
        for job in self.jobs.values():
            self._complete(job)
        self._link()
        for job in self.jobs.values():
            job["final"] = self._final(job)

    def _complete(self, job: dict) -> None:
        went = [visit for visit in job["visits"] if visit["outcome"] != "no_access"]
        job["attended"], job["who"] = went, went[-1]["technician"] if went else None
        job["closed"] = date.fromisoformat(job["closed_on"]) if job["closed_on"] else None
        job["opened"] = date.fromisoformat(job["opened_on"])
        job["repaired"] = job["disposition"] == "repaired" and job["closed"] is not None
        job["counted"] = job["repaired"] and job["customer"] != ""
        job["age"] = (self.as_of - job["closed"]).days if job["closed"] else -1
        job["return"], job["days"], job["returns_to"] = None, None, None

    def _link(self) -> None:
        """Give each job the first return to it."""
        units = defaultdict(list)
        for job in self.jobs.values():
            if job["customer"]:
                units[job["customer"], job["appliance_kind"]].append(job)
        for jobs in units.values():
            for later in sorted(jobs, key=lambda j: (j["opened"], int(j["job_id"]))):
                before = [
                    j
                    for j in jobs
                    if j is not later
                    and j["repaired"]
                    and j["closed"] <= later["opened"]
                    and (later["opened"] - j["closed"]).days <= HORIZON
                    and FAMILY[j["symptom"]] == FAMILY[later["symptom"]]
                ]
                if before and later["disposition"] != "cancelled":
                    first = max(before, key=lambda j: (j["closed"], int(j["job_id"])))
                    later["returns_to"] = first["job_id"]
                    if first["return"] is None:
                        first["return"] = later
                        first["days"] = (later["opened"] - first["closed"]).days

    def _final(self, job: dict) -> str:
        """Return the last cause found in the job and its repaired returns."""
        cause, at = job["root_cause"], job
        while at["return"] is not None and at["return"]["repaired"]:
            at = at["return"]
            cause = at["root_cause"] or cause
        return cause

    def mature(self) -> list[dict]:
        """Return repaired jobs on known units, closed the window ago."""
        return [j for j in self.jobs.values() if j["counted"] and j["age"] >= WINDOW]

    def fixed(self, by: str) -> dict:
        """Return (mature, fixed first time) by a field: who, or month of closing."""
        found = defaultdict(lambda: [0, 0])
        for job in self.mature():
            key = job["closed_on"][:7] if by == "month" else job["who"]
            is_back = job["days"] is not None and job["days"] <= WINDOW
            found[key][0] += 1
            found[key][1] += len(job["attended"]) == 1 and not is_back
        return {key: tuple(value) for key, value in found.items()}

    def callbacks(self) -> tuple[int, int]:
        """Return mature jobs and those of them that came back within the window."""
        jobs = self.mature()
        return len(jobs), sum(j["days"] is not None and j["days"] <= WINDOW for j in jobs)

    def back_by(self, day: int) -> float:
        """Return the Kaplan-Meier chance of a return by a day."""
        seen = [
            (min(j["age"] if j["days"] is None else j["days"], HORIZON), j["days"] is not None)
            for j in self.jobs.values()
            if j["counted"]
        ]
        free = 1.0
        for at in range(day + 1):
            risk = sum(d >= at for d, _ in seen)
            free *= 1 - sum(d == at and is_back for d, is_back in seen) / risk
        return 1 - free

    def reasons(self) -> Counter:
        """Return why further visits were made."""
        return Counter(
            REASONS[visit["outcome"]]
            for job in self.jobs.values()
            if job["closed"]
            for visit in job["attended"][:-1]
        )

    def causes(self) -> Counter:
        """Return jobs by kind, complaint and final cause."""
        found = Counter()
        for job in self.jobs.values():
            if job["repaired"] or job["disposition"] == "no_fault_found":
                cause = job["final"] or job["disposition"]
                found[job["appliance_kind"], job["symptom"], cause] += 1
        return found

    def wrong(self) -> dict:
        """Return (judged, corrected, came back, wrong) by technician."""
        found = defaultdict(lambda: [0, 0, 0, 0])
        for job in self.mature():
            own = COMPONENT[job["root_cause"]]
            last = max(visit["visit_no"] for visit in job["attended"])
            tried = [line for line in job["part_lines"] if line["component"] != own]
            is_corrected = any(line["visit_no"] < last for line in tried) or any(
                visit["outcome"] == "misdiagnosis" for visit in job["attended"][:-1]
            )
            is_back = (
                job["days"] is not None and job["days"] <= WINDOW and COMPONENT[job["final"]] != own
            )
            counts = (1, is_corrected, is_back, is_corrected or is_back)
            found[job["who"]] = [a + b for a, b in zip(found[job["who"]], counts, strict=True)]
        return {key: tuple(value) for key, value in found.items()}

    def prices(self) -> dict:
        """Return jobs, median minutes and charge, and money left, of each kind and repair."""
        found = defaultdict(list)
        for job in self.jobs.values():
            if job["repaired"] and not self._is_under_warranty(job):
                found[job["appliance_kind"], job["repair_code"]].append(job)
        return {
            key: (
                len(jobs),
                median(_minutes(job) for job in jobs),
                median(job["charged"] for job in jobs),
                sum(self._left(job) for job in jobs),
            )
            for key, jobs in found.items()
        }

    def _is_under_warranty(self, job: dict) -> bool:
        first = self.jobs.get(job["returns_to"])
        return first is not None and (job["opened"] - first["closed"]).days <= WARRANTY

    def _left(self, job: dict) -> float:
        """Return what a job left, with the returns under warranty."""
        back = [
            other
            for other in self.jobs.values()
            if other["returns_to"] == job["job_id"] and self._is_under_warranty(other)
        ]
        return _money(job) + sum(self._left(other) for other in back)


def _minutes(job: dict) -> float:
    return sum(visit["minutes_on_job"] for visit in job["attended"])


def _money(job: dict) -> float:
    """Return charge less time, road and parts of one job."""
    road = sum(visit["travel_minutes"] for visit in job["visits"])
    parts = sum(line["quantity"] * line["unit_cost"] for line in job["part_lines"])
    return float(job["charged"] or 0) - (_minutes(job) + road) / 60 * LABOUR - parts
