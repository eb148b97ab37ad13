"""The verdicts of a job counted one by one in plain Python: the second opinion on the SQL."""

from collections import Counter
from math import log

import sql
from dashboard.stats.sequencing.cause_prior import blend
from dashboard.stats.sequencing.chain import Chain, ChainTest
from dashboard.stats.sequencing.next_step import Verdict, posterior
from tests.diagnosis.random_washers import CAUSES, POINTS, Job

COMPLAINT = ("washer", "wont_drain")


def component_of(cause: str) -> str:
    """Return the component of a cause of a washer."""
    return {(r["kind"], r["cause"]): r["component"] for r in sql.lookup("causes")}["washer", cause]


def register() -> dict[tuple[str, str], float]:
    """Return p(outside) by cause and test point, 0.02 from 0 and 1."""
    return {
        (r["cause"], r["test_point"]): min(max(float(r["p_out_of_limits"]), 0.02), 0.98)
        for r in sql.lookup("cause_test_matrix")
        if (r["kind"], r["symptom"]) == COMPLAINT
    }


def chain_of(jobs: list[Job]) -> Chain:
    """Return the chain that “What to test next” would work on, blended with these jobs."""
    weights = {
        r["cause"]: float(r["weight"])
        for r in sql.lookup("chain_priors")
        if (r["kind"], r["symptom"]) == COMPLAINT
    }
    counts = Counter(
        job.cause for job in jobs if job.disposition == "repaired" and CAUSES[job.cause] != "none"
    )
    mix, p = blend(counts, weights), register()
    points = sorted({point for _, point in p})
    return Chain(
        mix,
        tuple(ChainTest(t, 1, {c: p.get((c, t), 0.03) for c in mix}, frozenset()) for t in points),
    )


def fitted_visits(job: Job) -> dict[str, int | None]:
    """Return by replaced component the visit on which it first went in."""
    found: dict[str, list[int]] = {}
    for line in job.parts:
        if line.component and line.pieces:
            found.setdefault(line.component, [])
            if line.visit_no is not None:
                found[line.component].append(line.visit_no)
    return {part: min(numbers) if numbers else None for part, numbers in found.items()}


def verdicts_before(job: Job, visit: int | None) -> dict[str, str | None]:
    """Return by test point what was read before a part went in: outside, inside or undecided."""
    result: dict[str, str | None] = {}
    for point in POINTS:
        taken = [
            r
            for r in job.readings
            if r.point == point and (r.visit_no is None or visit is None or r.visit_no <= visit)
        ]
        then = [r for r in taken if r.visit_no is None or visit is None or r.visit_no == visit]
        decided = [r.zone for r in taken if r.zone]
        if any(r.zone == "outside" for r in then):
            result[point] = "outside"
        elif taken:
            last = decided[-1] if decided else None
            result[point] = last if last != "doubtful" else None
    return result


def odds(mix: dict[str, float], component: str) -> float:
    """Return the odds that one of the component's causes is behind it."""
    own = sum(p for cause, p in mix.items() if component_of(cause) == component)
    return own / sum(p for cause, p in mix.items() if component_of(cause) != component)


def evidence(job: Job, chain: Chain) -> dict[str, tuple[str, float]]:
    """Return by replaced component the word and the logarithm of the ratio."""
    if job.disposition != "repaired":
        return {}
    result = {}
    for component, visit in fitted_visits(job).items():
        read = verdicts_before(job, visit)
        known = [Verdict(t, zone == "outside") for t, zone in read.items() if zone]
        ratio = odds(posterior(chain, known), component) / odds(chain.mix, component)
        result[component] = (_word(chain, component, set(read), ratio), log(ratio))
    return result


def _word(chain: Chain, component: str, made: set[str], ratio: float) -> str:
    if ratio >= 5:
        return "supported"
    if ratio <= 0.1:
        return "against"
    seeing = {test.name for test in chain.tests if _sees(chain, test, component)}
    if not seeing:
        return "no test"
    return "unclear" if seeing & made else "not tested"


def _sees(chain: Chain, test: ChainTest, component: str) -> bool:
    own = {c: w for c, w in chain.mix.items() if component_of(c) == component}
    other = {c: w for c, w in chain.mix.items() if component_of(c) != component}
    p, q = (
        sum(w * test.outside_given[c] for c, w in side.items()) / sum(side.values())
        for side in (own, other)
    )
    return p >= 5 * q or (p >= 0.8 and p >= 2 * q)


def is_corrected(job: Job) -> bool:
    """Say whether a later visit fitted or repaired another component, which the cause names."""
    named = CAUSES[job.cause]
    if job.disposition != "repaired" or named == "none" or not job.reasons:
        return False
    fitted, last = fitted_visits(job), len(job.reasons)
    suspected = [(part, visit) for part, visit in fitted.items() if part != named]
    suspected += [(None, n) for n, reason in enumerate(job.reasons, 1) if reason == "misdiagnosed"]
    companions = {("drain_pump", "hose"), ("hose", "drain_pump")}
    return any(
        visit is not None
        and visit < last
        and (named, part) not in companions
        and (named not in fitted or (fitted[named] is not None and fitted[named] > visit))
        for part, visit in suspected
    )


def missed(job: Job) -> bool | None:
    """Say whether a reading outside, by the first part fitted, is explained by no part of then."""
    fitted = fitted_visits(job) if job.disposition == "repaired" else {}
    first = min((visit for visit in fitted.values() if visit is not None), default=None)
    judged = [
        r
        for r in job.readings
        if r.zone is not None and (r.visit_no is None or first is None or r.visit_no <= first)
    ]
    if not fitted or not judged:
        return None
    last = {r.point: r.zone for r in judged}
    then = {part for part, visit in fitted.items() if visit is None or visit == first}
    strong = {(component_of(cause), point) for (cause, point), p in register().items() if p >= 0.5}
    return any(
        zone == "outside"
        and POINTS[point] not in then
        and not any((part, point) in strong for part in then)
        for point, zone in last.items()
    )


def several(job: Job, words: dict[str, str]) -> bool:
    """Say whether one visit has two or more different testable parts, fewer than two supported."""
    by_visit: dict[int, set[str]] = {}
    for part, visit in fitted_visits(job).items():
        if words[part] != "no test":
            by_visit.setdefault(visit or 0, set()).add(part)
    return any(
        len(parts - ({"hose"} if "drain_pump" in parts else set())) >= 2
        and sum(words[part] == "supported" for part in parts) < 2
        for parts in by_visit.values()
    )
