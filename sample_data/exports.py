"""Clean rows → the five files that the shop would send, each with its own headers and habits."""

from collections.abc import Callable
from datetime import date, timedelta
from random import Random
from typing import Any

from sample_data import mess
from sample_data.shop import YEAR_SPLIT
from sample_data.worksheet import Shop

UNLINKED_SHARE = 0.1


def year_of(shop: Shop) -> dict[str, bool]:
    """Say of each job whether it belongs to the older year's workbook."""
    return {job["job_id"]: (job["closed_on"] or job["opened_on"]) < YEAR_SPLIT for job in shop.jobs}


def jobs(rng: Random, shop: Shop, is_old: bool) -> list[dict[str, Any]]:
    """Return job rows in our field names, written as the shop writes them."""
    old = year_of(shop)
    rows = [_job(rng, job) for job in _story_first(shop) if old[job["job_id"]] == is_old]
    rows = mess.corrected(rng, rows, 0.003, "symptom", lambda row: "not working")
    rows = mess.spoiled(rng, rows, 0.009, SPOILED_JOBS)
    return mess.repeated(rng, rows, 0.005)


def _story_first(shop: Shop) -> list[dict[str, Any]]:
    return sorted(shop.jobs, key=lambda job: job["job_id"] not in shop.story)


def _job(rng: Random, job: dict[str, Any]) -> dict[str, Any]:
    kind = job["appliance_kind"]
    is_linked = Random(job["serial"]).random() >= UNLINKED_SHARE
    return {
        "job_id": job["job_id"],
        "opened_on": mess.day(rng, job["opened_on"], is_tidy=False),
        "closed_on": mess.day(rng, job["closed_on"], is_tidy=False),
        "branch": job["branch"],
        "technician": job["technician"],
        "customer": job["customer"] if is_linked else None,
        "phone": job["phone"] if is_linked else None,
        "serial": job["serial"] if is_linked else None,
        "appliance_kind": mess.word(rng, "appliance_kind", kind, kind),
        "brand": job["brand"],
        "model": job["model"],
        "built_year": str(job["built_year"]),
        "symptom": mess.word(rng, "symptom", kind, job["symptom"]),
        "root_cause": mess.word(rng, "root_cause", kind, job["root_cause"]),
        "repair_code": job["repair_code"],
        "disposition": mess.DISPOSITIONS[job["disposition"]],
        "callback_of": job["callback_of"],
        "charged": mess.money(rng, job["charged"]),
        "parts_charged": mess.money(rng, job["parts_charged"]),
    }


def _before(row: dict[str, Any]) -> str:
    return (date(2025, 1, 1) + timedelta(days=int(row["job_id"]) % 90)).isoformat()


SPOILED_JOBS: dict[str, Callable[[dict[str, Any]], dict[str, Any]]] = {
    "no number": lambda row: {"job_id": None},
    "closed before opened": lambda row: {"closed_on": _before(row)},
    "no such day": lambda row: {"opened_on": "2026-02-30"},
    "no such kind": lambda row: {"appliance_kind": "garage robot"},
    "no price": lambda row: {"charged": "see invoice"},
}


def visits(rng: Random, shop: Shop, is_old: bool) -> list[dict[str, Any]]:
    """Return visit rows of the jobs of one file."""
    old = year_of(shop)
    rows = [
        {
            "job_id": visit["job_id"],
            "visit_no": str(visit["visit_no"]),
            "technician": visit["technician"],
            "arrived_at": f"{visit['day']:%Y-%m-%d} {visit['hour']:02d}:{rng.choice('0134')}0",
            "minutes_on_job": mess.minutes(rng, visit["minutes"]),
            "travel_minutes": str(visit["travel"]),
            "outcome": mess.OUTCOMES[visit["outcome"]],
        }
        for visit in shop.visits
        if old[visit["job_id"]] == is_old
    ]
    rows = mess.spoiled(rng, rows, 0.006, SPOILED_VISITS)
    return mess.repeated(rng, rows, 0.004)


SPOILED_VISITS: dict[str, Callable[[dict[str, Any]], dict[str, Any]]] = {
    "below zero": lambda row: {"minutes_on_job": "-15"},
    "no such job": lambda row: {"job_id": "9" + row["job_id"]},
    "no visit number": lambda row: {"visit_no": "second"},
}


def readings(rng: Random, shop: Shop) -> list[dict[str, Any]]:
    """Return reading rows of all years, values as technicians write them."""
    rows = [
        {
            "ticket": reading["job_id"],
            "trip": reading["visit_no"],
            "no": reading["seq"],
            "where": reading["test_point"],
            "noted": reading["noted"] or None,
            "plate": reading["nameplate"] or None,
            "shows": mess.meter_text(rng, reading["value"]),
            "min": round(reading["minutes"]),
            "meter": reading["meter"],
        }
        for reading in shop.readings
    ]
    rows = mess.spoiled(rng, rows, 0.005, SPOILED_READINGS)
    return mess.repeated(rng, rows, 0.003)


SPOILED_READINGS: dict[str, Callable[[dict[str, Any]], dict[str, Any]]] = {
    "a date": lambda row: {"shows": "10-Aug"},
    "milli or mega": lambda row: {"shows": "550m"},
    "a range": lambda row: {"shows": "8-10 ohm"},
    "other quantity": lambda row: {"shows": "34.5 psi"},
    "letter O": lambda row: {"shows": "23.O ohm"},
}


def part_lines(rng: Random, shop: Shop) -> list[dict[str, Any]]:
    """Return part lines of all years."""
    return mess.repeated(rng, [dict(line) for line in shop.part_lines], 0.003)
