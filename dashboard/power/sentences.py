"""What each page can find, and how often it errs, in words."""

from dashboard.rows import Row
from dashboard.text.escape_markdown import verbatim
from dashboard.text.format import counted, is_missing, money, percent

CANNOT = "Cannot be said from these records: too few to compare."
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
    seen = f"{typical(row.page, row.n)} {found(row.page, row.usual, row.found, currency)}"
    text = f"{head}{verbatim(seen)}."
    if is_missing(row.false_flags):
        return text
    return f"{text} If no one differed, {errs(row.page, row.false_flags)}."


def typical(page: str, n: float) -> str:
    """Say what is looked at, and how much of it there is."""
    return {
        "misdiagnosis": f"A technician with {int(n):,} judged diagnoses",
        "meter_check": f"A meter with {counted(int(n), 'reading')} of sound parts",
        "early_parts": f"A part number fitted in {counted(int(n), 'job')}",
        "month_signals": f"A month of {counted(int(n), 'job')}",
        "flat_rate": f"A repair with {counted(int(n), 'job')} of known cost",
    }[page]


def found(page: str, usual: float, value: float, currency: str | None) -> str:
    """Say from which difference on it is found in 4 of 5 cases."""
    if is_missing(usual) or is_missing(value):
        return "is not found in 4 of 5 cases, however large the difference"
    is_usual = f"({percent(usual)} is usual)"
    once = {
        "misdiagnosis": f"{percent(value)} are wrong {is_usual}",
        "meter_check": f"it is off by {percent(value)}",
        "early_parts": f"{percent(value)} come back within a year {is_usual}",
        "month_signals": f"only {percent(value)} are fixed first time {is_usual}",
        "flat_rate": f"it is charged {money(value, currency)} under its cost",
    }[page]
    return f"is found in 4 of 5 cases once {once}"


def errs(page: str, chance: float) -> str:
    """Say how often something is named though nothing differs."""
    of = "fewer than 1 in 200" if chance < RARE else f"{percent(chance)} of"
    return {
        "misdiagnosis": f"{of} such shops would still see a technician named",
        "meter_check": f"{of} such shops would still see a meter named",
        "early_parts": f"at most {of} such shops would still see a part number named",
        "month_signals": f"such a month would still turn up in {of} years",
        "flat_rate": f"{of} such repairs would look like a loss with the full margin charged",
    }[page].replace("at most fewer", "fewer")
