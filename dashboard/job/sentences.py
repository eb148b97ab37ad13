"""Everything that the records say of one job, in words: for the page and the command line."""

from collections.abc import Callable
from dataclasses import dataclass

import pandas as pd

from dashboard.database.labels import Labels
from dashboard.evidence.chance import PartChance, part_chance
from dashboard.evidence.patterns import EVIDENCE, PATTERNS
from dashboard.evidence.sentences import missing_tests, steps
from dashboard.rows import Row
from dashboard.text.format import counted, day, is_missing, minutes, percent, significant
from dashboard.text.limits import limits_words


@dataclass(frozen=True)
class Job:
    """One job's rows: its facts with patterns, visits, readings in order, parts, linked calls.

    `steps` and `missing` say what the readings said of each part; `chance` how likely it was at
    fault.
    """

    facts: Row
    visits: pd.DataFrame
    readings: pd.DataFrame
    parts: pd.DataFrame
    calls: pd.DataFrame
    steps: pd.DataFrame
    missing: pd.DataFrame
    chance: PartChance


def read_job(rows: Callable[[str], pd.DataFrame]) -> Job | None:
    """Return the job's rows, None when the records hold no such job.

    `rows` gives the rows of a file of sql/pages for this job and window.
    """
    facts = rows("job_timeline_job")
    if facts.empty:
        return None
    return Job(
        facts.iloc[0],
        rows("job_timeline_visits"),
        rows("job_timeline_readings"),
        rows("job_timeline_parts"),
        rows("job_timeline_calls"),
        rows("part_readings"),
        rows("part_missing_tests"),
        part_chance(rows("part_outcomes")),
    )


def title(job: Job, labels: Labels) -> str:
    """Write the job in one line: number, appliance, complaint."""
    facts = job.facts
    kind = labels.of("appliance_kind", facts.appliance_kind)
    return f"{facts.job_id}, {kind}: {labels.of('symptom', facts.symptom, facts.appliance_kind)}"


def headline(job: Job, labels: Labels) -> str:
    """Write how the job ran: dates, who, how it closed, what was recorded and what it was."""
    facts, kind = job.facts, job.facts.appliance_kind
    text = f"Opened {day(facts.opened_on)}, closed {day(facts.closed_on)}"
    text += f" by {facts.technician}" if not is_missing(facts.technician) else ""
    text += f", {labels.of('disposition', facts.disposition)}."
    if not is_missing(facts.recorded_cause):
        text += f" Recorded cause: {labels.of('cause', facts.recorded_cause, kind)}."
    if not is_missing(facts.final_cause) and facts.final_cause != facts.recorded_cause:
        text += f" It turned out to be: {labels.of('cause', facts.final_cause, kind)}."
    if not is_missing(facts.labour_min):
        text += f" {minutes(facts.labour_min)} on the job, {minutes(facts.travel_min)} on the road."
    return text


def shown_patterns(job: Job) -> list[tuple[str, str, str]]:
    """Return each pattern as (name, yes / no / cannot be said, meaning)."""
    answers = {True: "yes", False: "no"}
    return [
        (each.name, "cannot be said" if is_missing(flag) else answers[bool(flag)], each.meaning)
        for each in PATTERNS.values()
        for flag in (job.facts[each.column],)
    ]


def other_patterns(job: Job) -> str:
    """Write which patterns the job does not show, and which cannot be said."""
    found: dict[str, list[str]] = {"no": [], "cannot be said": []}
    for name, answer, _ in shown_patterns(job):
        found.get(answer, []).append(name.lower())
    texts = [
        f"{start}: {', '.join(found[answer])}."
        for answer, start in (("no", "Not shown"), ("cannot be said", "Cannot be said"))
        if found[answer]
    ]
    return " ".join(texts)


def reading_words(row: Row, labels: Labels) -> str:
    """Write a reading: test, value as read, limits, verdict."""
    point = row.test_point if not is_missing(row.test_point) else row.written_point
    name = labels.of("test_point", point)
    value = significant(row.value, row.unit) if not is_missing(row.value) else row.written_value
    verdict = _verdict(row)
    text = f"{name}: {'open' if row.is_open else value}, {verdict}"
    spec = limits_words(row.low, row.high, row.unit)
    return text + (f" (spec {spec})" if spec else "")


def _verdict(row: Row) -> str:
    if is_missing(row.zone):
        return "no verdict"
    return f"no verdict: note the {row.to_note}" if row.zone == "note_type" else str(row.zone)


def part_words(row: Row, labels: Labels, chance: PartChance | None = None) -> str:
    """Write a replaced part with what its readings say and how often such parts were right."""
    name = (
        labels.of("component", row.component) if not is_missing(row.component) else "unknown part"
    )
    text = f"{name} ({row.part_numbers}), {row.pieces:,.0f} fitted"
    if is_missing(row.evidence):
        return text
    text += f": {row.evidence}, {EVIDENCE[row.evidence]}"
    if chance is None:
        return text
    likely = float(chance.of(pd.DataFrame([row]))[0])
    if is_missing(likely):
        return text
    return f"{text}; about {percent(likely)} of such parts were right"


def evidence_lines(job: Job, part: Row, labels: Labels) -> list[str]:
    """Write the readings behind a part's word, one a line, and the tests that could decide."""
    lines = steps(job.steps[job.steps["component"] == part.component], labels)
    if part.evidence not in ("not tested", "unclear"):
        return lines
    missing = missing_tests(job.missing[job.missing["component"] == part.component], labels)
    return [*lines, missing] if missing else lines


def call_words(row: Row, labels: Labels) -> str:
    """Write a linked call: which way, when, what it found."""
    text = f"{row.relation} {row.job_id}, {counted(row.callback_days, 'day')} apart"
    text += f", {labels.of('disposition', row.disposition)}"
    if not is_missing(row.recorded_cause):
        text += f": {labels.of('cause', row.recorded_cause, row.appliance_kind)}"
    return text


def visit_words(row: Row, labels: Labels) -> str:
    """Write a visit: number, day, who, how it ended."""
    when = "day unknown"
    if not is_missing(row.arrived_at):
        when = f"{day(row.arrived_at)} at {row.arrived_at:%H:%M}"
    return f"Visit {row.visit_no}, {when}, {row.technician}: {labels.of('outcome', row.outcome)}"


def sentence(text: str) -> str:
    """Write a text with a capital at its start and a full stop."""
    return f"{text[:1].upper()}{text[1:]}."
