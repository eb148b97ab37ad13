"""The measures counted the slow way, from the definitions: loops over jobs, no SQL."""

import re
from collections import Counter
from dataclasses import dataclass
from datetime import date
from itertools import pairwise

from tests.measures.random_shop import REASONS, Job


@dataclass(frozen=True)
class Facts:
    """What the definitions say of one repaired complaint."""

    job: Job
    callback_days: int | None
    is_linked: bool
    age: int
    attended: int | None

    def is_mature(self, window_days: int) -> bool:
        """Maturity goes by the date alone."""
        return self.is_linked and self.age >= window_days

    def is_back(self, window_days: int) -> bool:
        """Came back within the window."""
        return self.callback_days is not None and self.callback_days <= window_days

    def is_fixed(self, window_days: int) -> bool:
        """One attended visit and no return within the window."""
        return self.attended == 1 and not self.is_back(window_days)


def as_of(jobs: list[Job]) -> date:
    """Return the latest date in any record."""
    return max(day for job in jobs for day in (job.opened_on, job.closed_on) if day)


def opening(job: Job) -> tuple:
    """Return what jobs are ordered by: day, minute, number (read as a number), text."""
    digits = re.search(r"[0-9]{1,30}$", job.job_id)
    stem = job.job_id[: digits.start()] if digits else job.job_id
    key = stem + (digits.group() if digits else "").zfill(30)
    return job.opened_on, job.opened_minute, key, job.job_id


def written_link(later: Job, jobs: list[Job]) -> Job | None:
    """Return the repair that the records name for a callback, before loops of a day are cut."""
    for earlier in jobs:
        if (
            later.callback_of == earlier.job_id != later.job_id
            and later.disposition != "cancelled"
            and earlier.disposition == "repaired"
            and later.opened_on >= earlier.opened_on
            and (later.opened_on - earlier.closed_on).days <= 365
        ):
            return earlier
    return None


def explicit_link(later: Job, jobs: list[Job]) -> Job | None:
    """Return the repair that a job returns to by the records."""
    earlier = written_link(later, jobs)
    is_against = earlier is not None and opening(later) < opening(earlier)
    return None if is_against and written_link(earlier, jobs) else earlier


def link_of(later: Job, jobs: list[Job]) -> tuple[Job, int] | None:
    """Return the repair that a job returns to, and after how many days; None when to none."""
    if later.disposition == "cancelled":
        return None
    written = explicit_link(later, jobs)
    if written:
        return written, max((later.opened_on - written.closed_on).days, 0)
    fitting = [
        j
        for j in jobs
        if j.disposition == "repaired"
        and j.unit_key is not None
        and j.unit_key == later.unit_key
        and j.family == later.family
        and later.family not in ("unspecified", "no_complaint")
        and opening(j) < opening(later)
        and (later.opened_on - j.closed_on).days >= 0
    ]
    if not fitting:
        return None
    earlier = max(fitting, key=lambda j: (j.closed_on, opening(j)[2:]))
    days = (later.opened_on - earlier.closed_on).days
    is_returned_to = any(
        explicit_link(j, jobs) is later and opening(j) < opening(later) for j in jobs
    )
    if days > 365 or (is_returned_to and earlier.opened_on == later.opened_on):
        return None
    return earlier, days


def final_component(job: Job, jobs: list[Job]) -> str | None:
    """Return what the last repair of the chain of callbacks after a job found, else its own."""
    found, at = job.component, job
    while True:
        back = [
            j
            for j in jobs
            if j.disposition == "repaired" and (link := link_of(j, jobs)) and link[0] is at
        ]
        if not back:
            return found
        at = max(back, key=lambda j: (j.closed_on, opening(j)[2:]))
        found = at.component or found


def attended_visits(job: Job) -> int | None:
    """Return how many trips reached the appliance; None when no visit is recorded."""
    return sum(visit.is_attended for visit in job.visits) if job.visits else None


def repairs(jobs: list[Job]) -> list[Facts]:
    """Return the repaired complaints with what became of them."""
    links = [link_of(job, jobs) for job in jobs]
    result = []
    for job in jobs:
        if job.disposition != "repaired" or job.family == "no_complaint":
            continue
        days = [link[1] for link in links if link and link[0].job_id == job.job_id]
        result.append(
            Facts(
                job,
                min(days, default=None),
                job.unit_key is not None,
                (as_of(jobs) - job.closed_on).days,
                attended_visits(job),
            )
        )
    return result


def first_time_fix(jobs: list[Job], window_days: int) -> dict[str, int]:
    """Count the columns of first_time_fix for the whole shop."""
    found = repairs(jobs)
    known = [f for f in found if f.is_linked and f.attended is not None]
    mature = [f for f in known if f.is_mature(window_days)]
    return {
        "repaired": len(found),
        "pending": len(known) - len(mature),
        "mature": len(mature),
        "one_visit": sum(f.attended == 1 for f in found),
        "fixed_first_time": sum(f.is_fixed(window_days) for f in mature),
        "left_out": len(found) - len(known),
    }


def expected_fixes(jobs: list[Job], window_days: int, technician: str) -> float:
    """Sum the others' rate of each job's kind and complaint over a technician's mature jobs.

    Without another technician's job of that kind and complaint: of the kind, of all, else the
    shop's own rate.
    """
    mature = [f for f in repairs(jobs) if f.is_mature(window_days) and f.attended is not None]
    others = [f for f in mature if last_technician(f.job) != technician]
    total = 0.0
    for facts in mature:
        if last_technician(facts.job) != technician:
            continue
        mix = (facts.job.kind, facts.job.symptom)
        yardsticks = [
            [f for f in others if (f.job.kind, f.job.symptom) == mix],
            [f for f in others if f.job.kind == facts.job.kind],
            others,
            [f for f in mature if (f.job.kind, f.job.symptom) == mix],
        ]
        same = next(found for found in yardsticks if found)
        total += sum(f.is_fixed(window_days) for f in same) / len(same)
    return total


def last_technician(job: Job) -> str:
    """Return who attended the last visit."""
    names = [visit.technician for visit in job.visits if visit.is_attended]
    return names[-1] if names else "not recorded"


def callbacks(jobs: list[Job], window_days: int) -> dict[str, int]:
    """Count the windowed columns of callbacks for the whole shop."""
    found = repairs(jobs)
    mature = [f for f in found if f.is_mature(window_days)]
    return {
        "repaired": len(found),
        "mature": len(mature),
        "callbacks_in_window": sum(f.is_back(window_days) for f in mature),
        "pending": sum(f.is_linked and not f.is_mature(window_days) for f in found),
        "unlinked": sum(not f.is_linked for f in found),
        "known_returns": sum(not f.is_linked and f.is_back(window_days) for f in found),
    }


def any_call(jobs: list[Job], window_days: int) -> dict[str, int]:
    """Count mature repairs with any later call on the same appliance within the window."""
    mature = [f for f in repairs(jobs) if f.is_mature(window_days)]
    called = 0
    for facts in mature:
        later = [
            j
            for j in jobs
            if j.job_id != facts.job.job_id
            and j.unit_key is not None
            and j.unit_key == facts.job.unit_key
            and j.disposition != "cancelled"
            and 0 <= (j.opened_on - facts.job.closed_on).days <= window_days
        ]
        called += bool(later) or facts.is_back(window_days)
    returns = Counter(f.job.unit_key for f in mature if f.is_back(window_days) and f.job.unit_key)
    often_back = sum(number >= 2 for number in returns.values())
    return {"mature": len(mature), "any_call": called, "often_back": often_back}


def curve(jobs: list[Job]) -> dict[int, float]:
    """Return the share without a callback after each day, by the product over days (Kaplan-Meier)."""
    seen = []
    for facts in repairs(jobs):
        if facts.is_linked:
            is_back = facts.callback_days is not None
            seen.append((min(facts.callback_days if is_back else facts.age, 365), is_back))
    free, result = 1.0, {}
    for day in sorted({day for day, _ in seen}):
        at_risk = sum(d >= day for d, _ in seen)
        free *= 1 - sum(d == day and is_back for d, is_back in seen) / at_risk
        result[day] = free
    return result


def months(jobs: list[Job], window_days: int) -> dict[str, tuple[int, int, int]]:
    """Return (mature, fixed first time, pending) by month of closing."""
    result: dict[str, tuple[int, int, int]] = {}
    for facts in repairs(jobs):
        if not facts.is_linked or facts.attended is None:
            continue
        month = facts.job.closed_on.strftime("%Y-%m")
        mature, fixed, pending = result.get(month, (0, 0, 0))
        is_mature = facts.is_mature(window_days)
        result[month] = (
            mature + is_mature,
            fixed + (is_mature and facts.is_fixed(window_days)),
            pending + (not is_mature),
        )
    return result


def repeat_visits(jobs: list[Job]) -> dict[str, tuple[int, int, float | None]]:
    """Return (visits, timed visits, travel minutes of the next visit) by reason."""
    result: dict[str, tuple[int, int, float | None]] = {}
    for job in jobs:
        attended = [visit for visit in job.visits if visit.is_attended]
        if job.closed_on is None:
            continue
        for visit, following in pairwise(attended):
            visits, timed, minutes = result.get(REASONS[visit.outcome], (0, 0, None))
            if following.travel_min is not None:
                timed, minutes = timed + 1, (minutes or 0) + following.travel_min
            result[REASONS[visit.outcome]] = (visits + 1, timed, minutes)
    return result


def parts(jobs: list[Job], window_days: int) -> dict[tuple[str, str], tuple[int, int]]:
    """Return (mature jobs, callbacks) by appliance kind and part number."""
    fitted, back = Counter(), Counter()
    for facts in repairs(jobs):
        if facts.is_linked:
            for part_no in facts.job.parts:
                fitted[facts.job.kind, part_no] += facts.is_mature(window_days)
                back[facts.job.kind, part_no] += facts.is_mature(window_days) and facts.is_back(
                    window_days
                )
    return {key: (fitted[key], back[key]) for key in fitted}
