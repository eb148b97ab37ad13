"""Changes and targets as lines of text: what the page, the paper and the command say alike."""

from dataclasses import dataclass

from dashboard.changes import sentences
from dashboard.changes.figures import Figure
from dashboard.changes.load import Judged, judged_changes, outlooks
from dashboard.database.labels import Labels, read_labels
from dashboard.database.query import run
from dashboard.database.snapshot import Snapshot
from dashboard.filters import Filters
from dashboard.text import format as words
from dashboard.text.paper import Paper, PaperTable, paper_html

NOTHING_NOTED = "No change is noted yet."
MIX = (
    "“The mix of work held”: each kind of appliance and complaint is compared with itself "
    "(Mantel–Haenszel difference of shares, least squares of means; 95% interval). The table shows "
    "plain shares and means."
)


@dataclass(frozen=True)
class ChangeLines:
    """One change in words; `rows`: name of a side, its share before and after."""

    title: str
    touches: str
    sides: str
    verdict: str
    remarks: tuple[str, ...]
    measure: str
    rows: tuple[tuple[str, str, str], ...]
    left_out: str


@dataclass(frozen=True)
class Sheet:
    """All changes, newest first, and all targets; `filtered` says which jobs, "" for all."""

    shop: str
    as_of: str
    window_days: int
    filtered: str
    targets: tuple[str, ...]
    changes: tuple[ChangeLines, ...]


def lines_of(judged: Judged, labels: Labels, currency: str | None) -> ChangeLines:
    """Return a judged change in words."""
    change, effect = judged.change, judged.effect
    figure = Figure(change.measure, currency)
    remarks = (
        sentences.basis(effect, figure),
        sentences.after_a_bad_month(effect),
        sentences.special_months(effect, figure),
    )
    rows = [("Jobs that the change touches", *figure.before_and_after(effect.touched))]
    if effect.rest is not None:
        rows.append(("The other jobs", *figure.before_and_after(effect.rest)))
    return ChangeLines(
        sentences.title(change),
        sentences.touches(change, labels),
        sentences.sides(judged),
        sentences.verdict(change, effect, currency),
        tuple(line for line in remarks if line),
        figure.name,
        tuple(rows),
        sentences.left_out(effect),
    )


def sheet_of(snapshot: Snapshot, filters: Filters | None = None, filtered: str = "") -> Sheet:
    """Return all changes and targets in words. Raises NotesError."""
    labels, dataset = read_labels(snapshot), run(snapshot, "pages/dataset").iloc[0]
    currency = str(dataset.currency) if dataset.currencies == 1 else None
    return Sheet(
        str(snapshot.settings["shop_name"]),
        words.day(dataset.as_of),
        snapshot.window_days,
        filtered,
        tuple(sentences.target(found) for found in outlooks(snapshot, filters)),
        tuple(lines_of(each, labels, currency) for each in judged_changes(snapshot, filters)),
    )


def html(sheet: Sheet) -> str:
    """Return the sheet as HTML that stands alone and prints."""
    about = f"Data through {sheet.as_of}; a return counts within {sheet.window_days} days."
    return paper_html(
        Paper(
            "Changes and targets",
            [line for line in (sheet.shop, about, *sheet.targets) if line],
            [_table(each) for each in sheet.changes],
            [NOTHING_NOTED if not sheet.changes else MIX],
            f"FILTERED: {sheet.filtered}" if sheet.filtered else None,
        )
    )


def _table(each: ChangeLines) -> PaperTable:
    about = [("", line) for line in (f"{each.touches} {each.sides}", *each.remarks, each.left_out)]
    shares = [(name, f"{before} before; {after} after") for name, before, after in each.rows]
    return PaperTable(each.title, [each.measure, each.verdict], [*shares, *about])


def as_text(sheet: Sheet) -> str:
    """Return the sheet for a terminal."""
    lines = [f"FILTERED: {sheet.filtered}"] if sheet.filtered else []
    lines += sheet.targets or ("No target is noted.",)
    for each in sheet.changes:
        lines += ["", each.title, f"  {each.touches} {each.sides}", f"  {each.verdict}"]
        lines += [f"  {line}" for line in each.remarks]
        lines += [f"  {name}: {before} before; {after} after" for name, before, after in each.rows]
        lines += [f"  {each.left_out}"]
    return "\n".join(lines if sheet.changes else [*lines, NOTHING_NOTED])
