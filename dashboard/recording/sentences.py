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
CANNOT_BE = {  # what a job without the field cannot be
    "first_time_fix": "counted in first-time fix",
    "callbacks": "followed to a callback",
    "wrong_diagnosis": "judged for a wrong diagnosis",
    "part_at_fault": "judged by a reading",
}
MISSING_FROM = {
    "root_causes": "root causes",
    "flat_rate": "flat rates",
    "return_trips": "the reasons for return trips",
    "van_stock": "van stock",
    "comparison": "the fair comparison",
}
SHORT = {
    "first_time_fix": "First-time fix", "callbacks": "Callbacks",
    "wrong_diagnosis": "Wrong diagnosis", "part_at_fault": "Was the part at fault",
    "root_causes": "Root causes", "flat_rate": "Flat rates", "return_trips": "Return trips",
    "van_stock": "Van stock", "comparison": "Fair comparison",
}  # fmt: skip


def most(row: Row | None) -> str:
    """Say which field to write down first; a row of by_field, None where nothing is missing."""
    if row is None:
        return "Every field that the answers need is written down."
    alone = "" if row.freed else " They lack other fields, too."
    return (
        f"Write down first: {FIELDS[row.field].lower()}. It is missing on {row.missing:,} of "
        f"{words.counted(row.asked, 'job')} ({words.percent(row.rate)}); {_lost(row)}.{alone}"
    )


def _lost(row: Row) -> str:
    """Write "those jobs cannot be followed to a callback and are missing from root causes"."""
    names = [answer for answer, _ in row.answers]
    cannot = [CANNOT_BE[each] for each in names if each in CANNOT_BE]
    missing = [MISSING_FROM[each] for each in names if each in MISSING_FROM]
    jobs, are = ("that job", "is") if row.missing == 1 else ("those jobs", "are")
    said = [f"cannot be {words.listed(cannot, 'or')}"] if cannot else []
    said += [f"{are} missing from {words.listed(missing, 'and')}"] if missing else []
    return f"{jobs} {words.listed(said, 'and')}"


def in_the_month(row: Row, month: str) -> str:
    """Say how often a month lacks the field: "In March 2026 it is missing on 27 of 265 jobs"."""
    return (
        f"In {words.month(month)} it is missing on {row.missing:,} of "
        f"{words.counted(row.asked, 'job')} ({words.percent(row.rate)})."
    )


def answers(row: Row) -> str:
    """Write the answers that a field costs: "Callbacks, First-time fix"."""
    return ", ".join(SHORT[answer] for answer, _ in row.answers) or "none"
