"""What is not written down, as lines and on paper: for page, command and file alike."""

from dataclasses import dataclass

from dashboard.database.labels import read_labels
from dashboard.database.query import run
from dashboard.database.snapshot import Snapshot
from dashboard.filters import Filters
from dashboard.measures import measure
from dashboard.recording.compute import by_field, first_to_write
from dashboard.recording.load import fields_of
from dashboard.recording.sentences import FIELDS, answers, most
from dashboard.rows import Row
from dashboard.text import format as words
from dashboard.text.paper import Paper, PaperTable, paper_html

NOTE = (
    "A test that nobody made and one that nobody wrote down look alike in the records. Listed by "
    "name, not by rank."
)
GROUPS = ("technician", "branch")


@dataclass(frozen=True)
class Sheet:
    """All in words; `fields`: field, missing, answers; `groups`: title → (group, sentence)."""

    shop: str
    as_of: str
    filtered: str
    finding: str
    fields: tuple[tuple[str, str, str], ...]
    groups: dict[str, tuple[tuple[str, str], ...]]


def sheet_of(snapshot: Snapshot, filters: Filters | None = None, filtered: str = "") -> Sheet:
    """Return what is not written down in the shop and by each technician and branch."""
    labels = read_labels(snapshot)
    fields = fields_of(snapshot, filters)
    groups = {}
    for name in GROUPS:
        each = by_field(measure(snapshot, "recording", filters, group_by=name))
        groups[words.capitalized(name)] = tuple(
            (labels.of(name, group), most(first_to_write(own)))
            for group, own in each.groupby("group", sort=True)
        )
    return Sheet(
        str(snapshot.settings["shop_name"]),
        words.day(run(snapshot, "pages/dataset").iloc[0].as_of),
        filtered,
        most(first_to_write(fields)),
        tuple((FIELDS[row.field], missing(row), answers(row)) for _, row in fields.iterrows()),
        groups,
    )


def missing(row: Row) -> str:
    """Write how often a field is missing: "212 of 900 jobs, 24% (21–27%)"."""
    return words.rate(row.missing, row.asked, row.low, row.high)


def html(sheet: Sheet) -> str:
    """Return the sheet as HTML that stands alone and prints."""
    lines = (sheet.shop, f"Data through {sheet.as_of}.", sheet.finding)
    heads = ("Field", "Missing", "Answers it costs")
    tables = [PaperTable("By field", heads, sheet.fields)]
    for title, rows in sheet.groups.items():
        tables.append(PaperTable(f"By {title.lower()}", (title, "What to write down first"), rows))
    return paper_html(
        Paper(
            "What we don't write down",
            [line for line in lines if line],
            tables,
            [NOTE],
            f"FILTERED: {sheet.filtered}" if sheet.filtered else None,
        )
    )


def as_text(sheet: Sheet) -> str:
    """Return the sheet for a terminal."""
    lines = [sheet.finding, ""]
    lines += [f"{field}: missing on {share}; costs: {lost}" for field, share, lost in sheet.fields]
    for title, rows in sheet.groups.items():
        lines += ["", title, *(f"  {group}: {said}" for group, said in rows)]
    return "\n".join(lines)
