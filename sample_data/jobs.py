"""Complaint → visits → repair → callback: what happens in the shop, with the truth recorded."""

from collections.abc import Mapping
from datetime import date, timedelta
from functools import cache
from random import Random

from sample_data import trade
from sample_data.diagnosis import Finding, diagnose
from sample_data.shop import (
    BRANDS,
    COMPLAINTS,
    DIAGNOSTIC_FEE,
    EARLY_FAILURE,
    FIRST_DAY,
    FIRST_NAMES,
    KINDS,
    LAST_DAY,
    LAST_NAMES,
    MODELS_PER_BRAND,
    SEASONS,
    TECHNICIANS,
    workday,
)
from sample_data.story import add_story
from sample_data.worksheet import Call, Shop, Unit, Worksheet

CLOSINGS = (
    ("cancelled", 0.03),
    ("declined", 0.05),
    ("beyond_repair", 0.03),
    ("referred", 0.015),
)


def simulate(seed: int, jobs: int, plants: frozenset[str]) -> Shop:
    """Simulate the shop until about `jobs` jobs are closed or waiting."""
    rng, shop = Random(seed), Shop()
    add_story(rng, shop)
    calls = [_first_call(rng) for _ in range(round(jobs * 0.875))]
    calls.sort(key=lambda call: (call.opened_on, call.unit.serial))
    while calls:
        call = calls.pop(0)
        calls += _work(rng, shop, call, plants)
        calls.sort(key=lambda later: (later.opened_on, later.unit.serial))
    return shop


def _pick(rng: Random, weights: Mapping[str, float]) -> str:
    return rng.choices(list(weights), list(weights.values()))[0]


def _first_call(rng: Random) -> Call:
    kind = _pick(rng, KINDS)
    brand = rng.choice(BRANDS)
    unit = Unit(
        kind,
        brand,
        rng.choice(models(kind, brand)),
        f"{rng.choice('KLMN')}{rng.randint(10**7, 10**8 - 1)}",
        f"{rng.choice(FIRST_NAMES)} {rng.choice(LAST_NAMES)}",
        f"555-01{rng.randint(0, 99):02d}",
        rng.choice(TECHNICIANS).branch,
        rng.randint(2008, 2024),
    )
    return Call(unit, _opened(rng, kind), *_complaint(rng, kind))


@cache
def models(kind: str, brand: str) -> tuple[str, ...]:
    """Return a brand's models of one kind: few, so that they repeat."""
    rng = Random(f"{kind} {brand}")
    prefix = "".join(rng.choice("ABCDEFGHJKLMNPRSTVWX") for _ in range(2))
    return tuple(f"{prefix}{rng.randint(10, 29)}{letter}" for letter in "ABC"[:MODELS_PER_BRAND])


def _opened(rng: Random, kind: str) -> date:
    """Draw the day of a call: the season of its kind, no Sunday."""
    season, days = SEASONS.get(kind, (1.0,) * 12), (LAST_DAY - FIRST_DAY).days
    while True:
        day = FIRST_DAY + timedelta(days=rng.randint(0, days))
        if rng.random() * max(season) <= season[day.month - 1] and day.weekday() < 6:
            return day


def _complaint(rng: Random, kind: str) -> tuple[str, str]:
    if rng.random() < 0.04:
        return "no_complaint", "no_fault_found"
    symptom = _pick(rng, COMPLAINTS[kind])
    return symptom, _pick(rng, trade.priors()[kind, symptom])


def _work(rng: Random, shop: Shop, call: Call, plants: frozenset[str]) -> list[Call]:
    """Do one job; return the calls that follow from it."""
    person = rng.choice([t for t in TECHNICIANS if t.branch == call.unit.branch])
    day = workday(call.opened_on + timedelta(days=rng.choice((0, 1, 1, 2, 2, 3, 4))))
    sheet = Worksheet(rng, shop, call, f"{len(shop.jobs) + 20417}", person, day, plants)
    closing = _closing(rng, call, day)
    if closing == "repaired":
        return _repair(sheet)
    _close_without_repair(sheet, closing)
    return []


def _closing(rng: Random, call: Call, first_day: date) -> str:
    if first_day > LAST_DAY - timedelta(days=1):
        return "open"
    if call.callback_of or call.symptom == "no_complaint":
        return "repaired"
    roll = rng.random()
    for closing, share in CLOSINGS:
        if roll < share:
            return closing
        roll -= share
    cause_class = trade.causes()[call.unit.kind, call.true_cause]["cause_class"]
    is_none = cause_class == "none_found" or (cause_class == "user" and rng.random() < 0.6)
    return "no_fault_found" if is_none or rng.random() < 0.02 else "repaired"


def _diagnosis(sheet: Worksheet) -> Finding:
    call = sheet.call
    return diagnose(
        sheet.rng, call.unit.kind, call.symptom, call.true_cause, sheet.person, sheet.plants
    )


def _close_without_repair(sheet: Worksheet, closing: str) -> None:
    found, charged = Finding("", []), None
    if closing == "cancelled":
        sheet.visit(found, 0, "customer_cancelled")
    elif closing != "open":
        found, charged = _diagnosis(sheet), DIAGNOSTIC_FEE
        outcome = "no_fault_found" if closing == "no_fault_found" else "customer_decision"
        sheet.visit(found, 12 * sheet.person.pace, outcome)
    cause = "no_fault_found" if closing == "no_fault_found" else found.cause or None
    sheet.close(closing, cause, None, charged, None)
    sheet.note_truth(found.cause)


def _repair(sheet: Worksheet) -> list[Call]:
    call, rng = sheet.call, sheet.rng
    if call.callback_of and rng.random() < 0.8:
        sheet.send_the_best()
    is_work = call.symptom != "no_complaint"
    found = _diagnosis(sheet) if is_work else Finding("no_fault_found", [])
    sheet.visits_before()
    part_no = sheet.fit(found)
    if part_no:
        sheet.fit_rival(found)
    if found.cause != call.true_cause and rng.random() < 0.4:
        shop_visit = sheet.shop.visits[-1]
        shop_visit["outcome"] = "misdiagnosis"
        sheet.come_back(2, 7)
        found = Finding(call.true_cause, [])
        part_no = sheet.fit(found)
    sheet.close_repaired(found.cause if is_work else None, found.cause)
    sheet.note_truth(found.cause)
    return _later_calls(sheet, found.cause == call.true_cause, part_no) if is_work else []


def _later_calls(sheet: Worksheet, is_right: bool, part_no: str | None) -> list[Call]:
    """Return the callback or new complaint that follows, if any."""
    rng, call = sheet.rng, sheet.call
    is_early = part_no is not None and part_no.endswith("-E") and "early_part" in sheet.plants
    if not is_right and rng.random() < 0.75:
        wait, reason = rng.expovariate(1 / 9), "the diagnosis was wrong"
    elif is_early and rng.random() < EARLY_FAILURE:
        wait, reason = rng.uniform(2, 60), "the new part failed early"
    elif rng.random() < 0.03:
        wait, reason = rng.expovariate(1 / 30), "left by the repair"
    elif rng.random() < 0.07:
        opened = sheet.day + timedelta(days=rng.randint(5, 300))
        later = Call(call.unit, opened, *_complaint(rng, call.unit.kind))
        return [later] if opened <= LAST_DAY else []
    else:
        return []
    opened = sheet.day + timedelta(days=round(wait))
    if opened > LAST_DAY:
        return []
    symptom = _same_family(rng, call.unit.kind, call.symptom)
    return [Call(call.unit, opened, symptom, call.true_cause, sheet.job_id, reason)]


def _same_family(rng: Random, kind: str, symptom: str) -> str:
    """Say the complaint again: mostly in the same words, sometimes as its family calls it."""
    family = trade.symptoms()[kind, symptom]["family"]
    alike = [s for s in COMPLAINTS[kind] if trade.symptoms()[kind, s]["family"] == family]
    return symptom if rng.random() < 0.8 else rng.choice([symptom, *alike])
