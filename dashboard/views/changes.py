"""Changes and targets: did a noted change work, and will a target be reached at this rate?"""

import streamlit as st

from dashboard.changes import charts, sentences
from dashboard.changes.figures import Figure
from dashboard.changes.load import Judged, asked, judged_changes
from dashboard.changes.sheet import ChangeLines, html, lines_of, sheet_of
from dashboard.database.filter_words import filter_words
from dashboard.month.periods import month_days
from dashboard.notes.changes import may_note
from dashboard.text import format as words
from dashboard.text.escape_markdown import verbatim
from dashboard.ui import job_table, shell, widgets
from dashboard.ui.page import Page
from dashboard.views.sections.note_change import note_forms
from dashboard.views.sections.offer_paper import offer_paper

LISTS = {  # which jobs of a change: after the change, and only those that show the figure
    "before": (False, False),
    "after": (True, False),
    "before, those that show it": (False, True),
    "after, those that show it": (True, True),
}


def draw(page: Page) -> None:
    """Draw the page."""
    page.begin("Did the change work, and will the target be reached?")
    sheet = sheet_of(page.snapshot, page.filters)
    for line in sheet.targets:
        st.markdown(f"**{verbatim(line)}**")
    judged = judged_changes(page.snapshot, page.filters)
    if not judged:
        st.info(
            "No change is noted yet. Note what you change in how the shop works, and when: after "
            "some months this page says whether it worked."
        )
    else:
        summary(sheet.changes)
        details(page, chosen(judged))
    if may_note():
        note_forms(page, [each.change for each in judged])
    print_or_share(page)
    widgets.how_counted("change_effect")


def summary(changes: tuple[ChangeLines, ...]) -> None:
    """Say of every change whether it worked."""
    for each in changes:
        st.markdown(f"- **{verbatim(each.title)}.** {verbatim(each.verdict)}")


def chosen(judged: list[Judged]) -> Judged:
    """Let the reader choose a change; the newest first."""
    titles = {sentences.title(each.change): each for each in judged}
    title = st.selectbox("Change", list(titles), key="change", bind="query-params")
    return titles[title]


def details(page: Page, judged: Judged) -> None:
    """Show one change: what moved, against what, by month, and its jobs."""
    lines = lines_of(judged, page.labels, page.currency)
    figure = Figure(judged.change.measure, page.currency)
    st.markdown(verbatim(f"{lines.touches} {lines.sides}"))
    for remark in lines.remarks:
        st.markdown(f"- {verbatim(remark)}")
    for name, before, after in lines.rows:
        st.markdown(f"**{name}.** Before: {verbatim(before)}. After: {verbatim(after)}.")
    change = judged.change
    ever = page.measure("change_effect", **asked(change, None, None))
    event = widgets.chart(
        charts.by_month(ever, figure, [(change.changed_on, change.what)]),
        alt=f"{lines.measure} by month. {lines.verdict}",
        key="by_month",
        title=lines.verdict,
        on_select="rerun",
        selection_mode="points",
    )
    st.caption(verbatim(lines.left_out))
    st.caption("Click a dot to list the jobs of its month.")
    month, is_touched = widgets.clicked(event, 0), widgets.clicked(event, 2) != "False"
    if month is None:
        the_jobs(page, judged, figure)
    else:
        jobs_of_month(page, judged, month, is_touched)


def the_jobs(page: Page, judged: Judged, figure: Figure) -> None:
    """List the jobs of either side."""
    st.subheader("The jobs")
    left, right = st.columns(2)
    with left:
        names = list(LISTS) if figure.is_share else list(LISTS)[:2]
        which = st.selectbox("Closed", names, key="which_jobs", index=len(names) - 1)
    with right:
        has_others = not judged.change.touches_all
        is_touched = not (has_others and st.toggle("The other jobs", key="other_jobs"))
    is_after, hits = LISTS[which]
    jobs = page.rows(
        "change_jobs",
        is_after=is_after,
        is_touched=is_touched,
        hits=hits,
        **asked(judged.change, judged.first, judged.last),
    )
    job_table.show(jobs, page.labels, f"{figure.name.lower()}, {which}", "change_jobs")


def jobs_of_month(page: Page, judged: Judged, month: str, is_touched: bool) -> None:
    """List the jobs behind one dot of the chart."""
    name = words.month(month)
    st.subheader(f"The jobs of {name}" + ("" if is_touched else " that the change does not touch"))
    jobs = page.rows(
        "change_jobs",
        is_after=None,
        is_touched=is_touched,
        hits=False,
        **asked(judged.change, *month_days(month)),
    )
    job_table.show(jobs, page.labels, f"the jobs of {name}", "month_jobs")


def print_or_share(page: Page) -> None:
    """Offer all changes and targets as a file; a filter is named in it and in the file's name."""
    st.subheader("Print or share")
    filtered = filter_words(page.filters, page.labels)
    name = "changes_FILTERED" if filtered else "changes"

    def content() -> str:
        return html(sheet_of(page.snapshot, page.filters, filtered))

    offer_paper("Download changes", content, name)


if __name__ == "__main__":
    shell.show(draw)
