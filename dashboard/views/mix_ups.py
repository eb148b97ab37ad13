"""Mix-ups: what a fault was first taken for, and what it turned out to be."""

import textwrap

import pandas as pd
import streamlit as st

from dashboard.diagnosis import charts as charts_diagnosis
from dashboard.stats.kappa import cohens_kappa
from dashboard.text import format as words
from dashboard.text.escape_markdown import verbatim
from dashboard.ui import shell, widgets
from dashboard.ui.complaint_picker import choose_complaint
from dashboard.ui.page import Page

LEAST_DRAWN = 12  # parts in the picture: more cannot be read


def draw(page: Page) -> None:
    """Draw the page."""
    page.begin("What gets mistaken for what?")
    pairs = page.measure("mix_ups")
    if pairs.empty:
        st.info(
            "Cannot be said from these records: it needs repairs with a recorded cause, on "
            "appliances that are known again, older than "
            f"{page.settings['callback_window_days']} days."
        )
        st.stop()

    st.markdown(agreement_words(pairs, page))
    st.caption(
        "A diagnosis is wrong when a later visit of the job corrected it, or the job came back "
        "within the window with a different cause. A wrong one that nobody called about counts as "
        "right."
    )
    most_frequent(page, pairs)
    one_complaint(page, pairs)
    all_pairs(page, pairs)


def most_frequent(page: Page, pairs: pd.DataFrame) -> None:
    """List the most frequent mix-ups."""
    st.subheader("The most frequent mix-ups")
    wrong = pairs[pairs["first_component"] != pairs["final_component"]]
    top = wrong.sort_values(
        ["jobs", "appliance_kind", "symptom", "first_component", "final_component"],
        ascending=[False, True, True, True, True],
    )
    if top.empty:
        st.write("No diagnosis turned out wrong.")
    for row in top.head(8).itertuples():
        kind = page.labels.of("appliance_kind", row.appliance_kind)
        complaint = page.labels.of("symptom", row.symptom, row.appliance_kind)
        st.markdown(
            f"- {verbatim(kind.capitalize())}, {complaint.lower()}. {confusion_words(row, page)}"
        )


def one_complaint(page: Page, pairs: pd.DataFrame) -> None:
    """Draw one complaint as a matrix."""
    st.subheader("One complaint as a matrix")
    counts = pairs.groupby(["appliance_kind", "symptom"])["jobs"].sum()
    kind, symptom = choose_complaint(counts, page.labels)
    chosen = pairs[(pairs["appliance_kind"] == kind) & (pairs["symptom"] == symptom)]
    st.markdown(agreement_words(chosen, page))
    matrix = square(chosen)
    drawn = matrix.iloc[:LEAST_DRAWN, :LEAST_DRAWN]
    names = {part: page.labels.of("component", part) for part in matrix.index}
    short = {part: shortened(name) for part, name in names.items()}
    if len(set(short.values())) < len(short):
        short = names  # two that would read alike stay whole
    widgets.chart(
        charts_diagnosis.confusion(drawn.rename(index=short, columns=short)),
        alt="First diagnosis against final cause: "
        + "; ".join(
            f"{names[r.first_component]} to {names[r.final_component]} {r.jobs}"
            for r in chosen.nlargest(12, "jobs").itertuples()
        ),
        key="matrix",
    )
    if len(matrix) > LEAST_DRAWN:
        st.caption(
            f"The {LEAST_DRAWN} parts with most jobs of {len(matrix)}; the table has them all."
        )


def all_pairs(page: Page, pairs: pd.DataFrame) -> None:
    """List every mix-up."""
    table = pairs.assign(
        kind_label=[page.labels.of("appliance_kind", k) for k in pairs["appliance_kind"]],
        complaint=[
            page.labels.of("symptom", r.symptom, r.appliance_kind) for r in pairs.itertuples()
        ],
        first=[page.labels.of("component", each) for each in pairs["first_component"]],
        final=[page.labels.of("component", each) for each in pairs["final_component"]],
    )
    widgets.table(
        table[table["first_component"] != table["final_component"]].sort_values(
            "jobs", ascending=False
        ),
        {
            "kind_label": st.column_config.TextColumn("Appliance"),
            "complaint": st.column_config.TextColumn("Complaint"),
            "first": st.column_config.TextColumn("First diagnosis"),
            "final": st.column_config.TextColumn("Turned out to be"),
            "jobs": st.column_config.NumberColumn("Jobs"),
            "of_jobs": st.column_config.NumberColumn("of diagnosed so"),
            "share": st.column_config.NumberColumn("Share", format="percent"),
            "low": st.column_config.NumberColumn("95% from", format="percent"),
            "high": st.column_config.NumberColumn("to", format="percent"),
            "test_made": st.column_config.NumberColumn("Test done"),
        },
    )
    widgets.download(pairs, "mix_ups")
    widgets.how_counted("mix_ups")


def square(rows: pd.DataFrame) -> pd.DataFrame:
    """Return the square matrix of jobs, causes with most jobs first."""
    matrix = rows.pivot_table(
        index="first_component",
        columns="final_component",
        values="jobs",
        aggfunc="sum",
        fill_value=0,
    )
    causes = matrix.index.union(matrix.columns)
    matrix = matrix.reindex(index=causes, columns=causes, fill_value=0)
    jobs = matrix.sum(axis=1) + matrix.sum(axis=0)
    order = jobs.sort_index().sort_values(ascending=False, kind="stable").index
    return matrix.loc[order, order]


def agreement_words(rows: pd.DataFrame, page: Page) -> str:
    """Say how many diagnoses held and how far beyond chance."""
    matrix = square(rows)
    held, n = int(sum(matrix.loc[c, c] for c in matrix.index)), int(matrix.to_numpy().sum())
    kappa = cohens_kappa(matrix.to_numpy())
    if n < page.settings["min_jobs"] or kappa.kappa is None:
        return f"**{held:,} of {n:,} diagnoses were right** (too few jobs to say more)."
    beyond = f"kappa {kappa.kappa:.2f}"
    if kappa.low is not None:
        beyond += f" ({kappa.low:.2f}–{kappa.high:.2f})"
    return (
        f"**{held:,} of {n:,} diagnoses were right** ({words.percent(held / n)}). Agreement of the "
        f"first diagnosis with the final cause beyond chance: {beyond}; 1 is perfect, 0 is chance."
    )


def confusion_words(row: object, page: Page) -> str:
    """Write "diagnosed as fan, turned out to be board: 9 of 14, 64% (39–84%)" and the test."""
    first = page.labels.of("component", row.first_component)
    final = page.labels.of("component", row.final_component)
    share = words.rate(row.jobs, row.of_jobs, row.low, row.high)
    text = f"Diagnosed as **{first}**, turned out to be **{final}**: {share}."
    if words.is_missing(row.telling_test):
        return f"{text} No listed test separates these two."
    likelier = final if row.outside_if_final > row.outside_if_first else first
    test = page.labels.of("test_point", row.telling_test)
    return (
        f"{text} Test that separates them: *{test}* (outside limits points to {likelier}, "
        f"{words.percent(row.outside_if_first)} against {words.percent(row.outside_if_final)}); "
        f"done on {row.test_made} of {row.jobs}."
    )


def shortened(name: str, length: int = 24) -> str:
    """Cut a long name at a word for the picture; the table has it whole."""
    return textwrap.shorten(name, length, placeholder=" …")


if __name__ == "__main__":
    shell.show(draw)
