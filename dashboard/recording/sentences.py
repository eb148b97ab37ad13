"""What is not written down, in words."""

from dashboard.rows import Row
from dashboard.text import format as words

FIELDS = {
    "appliance": "Customer or serial number",
    "visits": "Visits",
    "complaint": "Complaint",
    "cause": "Root cause",
    "repair": "Repair",
    "minutes": "Minutes on the job",
    "charge": "Charge",
    "part": "Part line of a replacement",
    "reading": "Reading of the part replaced",
    "reason": "Reason for the return trip",
    "technician": "Technician",
}
NO = {
    "appliance": "no customer or serial number",
    "visits": "no visits",
    "complaint": "no complaint that is understood",
    "cause": "no root cause",
    "repair": "no repair that is understood",
    "minutes": "no minutes",
    "charge": "no charge",
    "part": "a part was replaced, and no part line says which",
    "reading": "no reading of the part replaced",
    "reason": "no reason for the return trip",
    "technician": "no technician",
}
COSTS = {
    "first_time_fix": "cannot be counted in first-time fix",
    "callbacks": "cannot be followed to a callback",
    "wrong_diagnosis": "cannot be judged for a wrong diagnosis",
    "part_at_fault": "cannot be judged by a reading",
    "root_causes": "are missing from root causes",
    "flat_rate": "are missing from flat rates",
    "return_trips": "are missing from the reasons for return trips",
    "van_stock": "are missing from van stock",
    "comparison": "are missing from the fair comparison",
}
SHORT = {
    "first_time_fix": "First-time fix", "callbacks": "Callbacks",
    "wrong_diagnosis": "Wrong diagnosis", "part_at_fault": "Was the part at fault",
    "root_causes": "Root causes", "flat_rate": "Flat rates", "return_trips": "Return trips",
    "van_stock": "Van stock", "comparison": "Fair comparison",
}  # fmt: skip


def costs(row: Row) -> str:
    """Write "212 jobs cannot be judged by a reading: no reading of the part replaced"."""
    by_jobs: dict[int, list[str]] = {}
    for answer, jobs in row.answers:
        by_jobs.setdefault(jobs, []).append(COSTS[answer])
    lost = [f"{words.counted(jobs, 'job')} {_cannot(said, jobs)}" for jobs, said in by_jobs.items()]
    return f"{words.listed(lost)}: {NO[row.field]}" if lost else ""


def _cannot(costs: list[str], jobs: int) -> str:
    """Write several costs of the same jobs as one: "cannot be followed or judged"."""
    said = []
    for start, last in (("cannot be ", "or"), ("are missing from ", "and")):
        ends = [each.removeprefix(start) for each in costs if each.startswith(start)]
        verb = "is missing from " if jobs == 1 and start.startswith("are") else start
        if ends:
            said.append(f"{verb}{words.listed(ends, last)}")
    return words.listed(said)


def most(row: Row | None) -> str:
    """Say which one field would free most; a row of by_field, None where nothing is missing."""
    if row is None:
        return "Every field that the answers need is written down."
    return (
        f"Write down first: {FIELDS[row.field].lower()}. It is missing on {row.missing:,} of "
        f"{words.counted(row.asked, 'job')} ({words.percent(row.rate)}). {costs(row)}."
    )


def answers(row: Row) -> str:
    """Write the answers that a field costs, each with its jobs: "Flat rates 12, Callbacks 3"."""
    return ", ".join(f"{SHORT[answer]} {jobs:,}" for answer, jobs in row.answers) or "none"
