"""One job as plain text: for the command line."""

from dashboard.database.labels import Labels, read_labels
from dashboard.database.query import run
from dashboard.database.snapshot import Snapshot
from dashboard.database.version import NoData
from dashboard.job.find import find_job
from dashboard.job.sentences import (
    Job,
    call_words,
    evidence_lines,
    headline,
    part_words,
    read_job,
    reading_words,
    sentence,
    shown_patterns,
    title,
    visit_words,
)
from dashboard.rows import Row, each_row


def as_text(job: Job, labels: Labels) -> str:
    """Write the whole job as plain text, visit by visit."""
    lines = [title(job, labels), headline(job, labels), ""]
    unplaced = job.readings
    for visit in each_row(job.visits):
        lines.append(visit_words(visit, labels))
        lines += _lines_of(job, visit.visit_no, labels)
        unplaced = unplaced[unplaced["visit_no"] != visit.visit_no]
    if not unplaced.empty:
        lines.append("Readings without a visit")
        lines += [f"  {r.seq}. {reading_words(r, labels)}" for r in each_row(unplaced)]
    known = set(job.visits["visit_no"])
    loose = [part for part in each_row(job.parts) if part.visit_no not in known]
    for part in loose:
        lines += _part_lines(job, part, labels, "")
    lines += ["", *(sentence(call_words(call, labels)) for call in each_row(job.calls))]
    lines += [f"{name}: {answer}" for name, answer, _ in shown_patterns(job)]
    return "\n".join(lines)


def explained(snapshot: Snapshot, job_id: str) -> str:
    """Return all that the records say of one job as text; raise NoData when there is none."""
    found = find_job(snapshot, job_id)
    job = read_job(lambda name: run(snapshot, f"pages/{name}", job_id=found))
    if job is None:
        raise NoData(
            f"job {job_id!r} is not in these records; wanted a number as the shop wrote it"
        )
    return as_text(job, read_labels(snapshot))


def _lines_of(job: Job, visit_no: int, labels: Labels) -> list[str]:
    readings = job.readings[job.readings["visit_no"] == visit_no]
    parts = job.parts[job.parts["visit_no"] == visit_no]
    lines = [f"  {r.seq}. {reading_words(r, labels)}" for r in each_row(readings)]
    for part in each_row(parts):
        lines += _part_lines(job, part, labels, "  ")
    return lines


def _part_lines(job: Job, part: Row, labels: Labels, indent: str) -> list[str]:
    head = f"{indent}Part {part_words(part, labels, job.chance)}"
    return [head] + [f"{indent}    {line}" for line in evidence_lines(job, part, labels)]
