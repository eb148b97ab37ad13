"""What each page can find, and how often it errs, in words."""

from dashboard.rows import Row
from dashboard.text.escape_markdown import verbatim
from dashboard.text.format import counted, is_missing, money, percent

CANNOT = "Cannot be said from these records: too few to compare."
NOT_FOUND = "no difference at all"
QUESTIONS = {
    "misdiagnosis": "A technician's wrong diagnoses",
    "meter_check": "A meter that reads high or low",
    "early_parts": "A part number that comes back early",
    "month_signals": "A worse month",
    "flat_rate": "A repair priced too low",
}


RARE = 0.005  # a smaller chance would be written as 0 %


def line(row: Row, currency: str | None) -> str:
    """Say of one page what it finds and how often it errs, as Markdown."""
    head = f"- **{QUESTIONS[row.page]}.** "
    if is_missing(row.n):
        return head + CANNOT
    seen = verbatim(found(row.page, row.usual, row.found, currency))
    first = f"Of {typical(row.page, row.n)}, found in 4 of 5 cases: {seen}. "
    return head + first + f"Where no one differs, {errs(row.page, row.false_flags)}."


def typical(page: str, n: float) -> str:
    """Say what the row rests on."""
    if is_missing(n):
        return CANNOT
    return {
        "misdiagnosis": f"a technician with {int(n):,} judged diagnoses",
        "meter_check": f"a technician with {counted(int(n), 'reading')} of sound parts",
        "early_parts": f"a part number fitted in {counted(int(n), 'job')}",
        "month_signals": f"a month of {counted(int(n), 'job')}",
        "flat_rate": f"a repair with {counted(int(n), 'job')} of known cost",
    }[page]


def found(page: str, usual: float, value: float, currency: str | None) -> str:
    """Say what is found in 4 of 5 cases."""
    if is_missing(usual):
        return "–"
    if is_missing(value):
        return NOT_FOUND
    return {
        "misdiagnosis": f"{percent(value)} wrong or more, where {percent(usual)} is usual",
        "meter_check": f"off by {percent(value)} or more",
        "early_parts": f"{percent(value)} back within a year, where {percent(usual)} is usual",
        "month_signals": f"{percent(value)} fixed first time or less, usual {percent(usual)}",
        "flat_rate": f"charged {money(value, currency)} under its cost or more",
    }[page]


def errs(page: str, chance: float) -> str:
    """Say how often someone is named though no one differs."""
    if is_missing(chance):
        return "–"
    of = {
        "misdiagnosis": "of such shops name some technician",
        "meter_check": "of such shops name some meter",
        "early_parts": "of such shops at most name some part number",
        "month_signals": "of years hold such a month by chance",
        "flat_rate": "of such repairs look like a loss though the target margin is in the price",
    }[page]
    return f"{'fewer than 1 in 200' if chance < RARE else percent(chance)} {of}"
