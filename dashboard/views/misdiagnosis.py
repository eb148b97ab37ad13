"""Misdiagnosis: which repairs show a wrong diagnosis, where, and what it cost."""

import pandas as pd
import streamlit as st

from dashboard.charts import theme as charts
from dashboard.diagnosis import charts as charts_diagnosis
from dashboard.fairness.sentences import VERDICTS
from dashboard.job.sentences import PATTERNS
from dashboard.stats import funnel
from dashboard.text import format as words
from dashboard.ui import shell, widgets
from dashboard.ui.group_table import GROUP_TITLES
from dashboard.ui.job_table import JOB_COLUMN, with_links
from dashboard.ui.page import Page

GROUPS = ("technician", "symptom", "cause", "appliance_kind", "branch")
SHOWN = {
    "label": st.column_config.TextColumn("Group"),
    "asked": st.column_config.NumberColumn("Can be said of", help="jobs"),
    "with_pattern": st.column_config.NumberColumn("Show it"),
    "expected": st.column_config.NumberColumn(
        "Expected", format="%.1f", help="if every job had the shop's rate of its kind and complaint"
    ),
    "rate": st.column_config.NumberColumn("Rate", format="percent"),
    "low": st.column_config.NumberColumn("95 % from", format="percent"),
    "high": st.column_config.NumberColumn("to", format="percent"),
    "verdict_words": st.column_config.TextColumn("Against expected"),
    "lost_min": st.column_config.NumberColumn("Callback minutes", format="%.0f"),
    "unneeded_parts_cost": st.column_config.NumberColumn("Unneeded parts", format="%.0f"),
    "cost": st.column_config.NumberColumn("Cost", format="%.0f"),
}
PARTS_SHOWN = {
    "label": st.column_config.TextColumn("Replaced"),
    "replaced": st.column_config.NumberColumn("Times"),
    "supported": st.column_config.NumberColumn("Supported", help="a reading outside limits"),
    "unclear": st.column_config.NumberColumn("Unclear", help="readings that decide nothing"),
    "contradicted": st.column_config.NumberColumn("Contradicted", help="all readings inside"),
    "untested": st.column_config.NumberColumn("Untested", help="no reading"),
    "rate": st.column_config.NumberColumn("Without evidence", format="percent"),
    "low": st.column_config.NumberColumn("95 % from", format="percent"),
    "high": st.column_config.NumberColumn("to", format="percent"),
    "expected": st.column_config.NumberColumn("Expected", format="%.1f"),
    "verdict_words": st.column_config.TextColumn("Against expected"),
    "cost": st.column_config.NumberColumn("Cost of these parts", format="%.0f"),
}


def draw(page: Page) -> None:
    """Draw the page."""
    page.begin("Did the diagnosis hold?")
    window, least = page.settings["callback_window_days"], page.settings["min_jobs"]

    shop = measured(None, page)
    if shop.empty:
        st.info("No repaired job is in this filter. Widen the dates or clear a filter at the left.")
        st.stop()
    total = shop.iloc[0]
    headline(total, window)
    five_patterns(page)
    group_by, pattern = choose()
    asked_pattern, groups = where(page, group_by, least, pattern)
    component, parts = which_parts(page, least)
    the_jobs(page, asked_pattern, component, group_by, groups, parts)


def headline(total: pd.Series, window: int) -> None:
    """Say how many repairs show a pattern and what they cost."""
    if total.asked:
        st.markdown(
            f"**{words.rate(total.with_pattern, total.asked, total.low, total.high)}** show at "
            "least one of five patterns of a wrong diagnosis. They cost "
            f"{words.number(total.lost_min / 60)} hours of callbacks and "
            f"{words.number(total.unneeded_parts_cost)} in parts that were not "
            "needed" + f": {words.number(total.cost)} in all."
        )
    else:
        st.markdown(
            "**Cannot be said of all five together:** that needs readings and known appliances, on "
            f"repairs older than {window} days. What can be said stands below."
        )


def five_patterns(page: Page) -> None:
    """Draw and list the five patterns."""
    shares = pd.concat(
        [measured(name, page).assign(cause=name) for name in PATTERNS], ignore_index=True
    )
    shares["label"] = [PATTERNS[name][1] for name in shares["cause"]]
    shares["meaning"] = [PATTERNS[name][2] for name in shares["cause"]]
    shares["words"] = [
        words.rate(r.with_pattern, r.asked, r.low, r.high) for r in shares.itertuples()
    ]
    shares["share"], shares["colour"] = shares["rate"], charts.SHOP
    known = shares[shares["asked"] > 0]
    if not known.empty:
        widgets.chart(
            charts.share_bars(known),
            alt="Patterns: " + "; ".join(f"{row.label} {row.words}" for row in known.itertuples()),
            key="patterns",
        )
    widgets.table(
        shares,
        {
            "label": st.column_config.TextColumn("Pattern"),
            "words": st.column_config.TextColumn("How often"),
            "lost_min": st.column_config.NumberColumn("Callback minutes", format="%.0f"),
            "unneeded_parts_cost": st.column_config.NumberColumn("Unneeded parts", format="%.0f"),
            "cost": st.column_config.NumberColumn("Cost", format="%.0f"),
            "meaning": st.column_config.TextColumn("What it means", width="large"),
        },
    )
    st.caption(
        "A pattern is a reason to look at the job, not a verdict on a person. "
        "A job may show several, so the rows do not add up."
    )


def choose() -> tuple[str, str]:
    """Let the reader choose a pattern and what to compare by."""
    st.subheader("Where it happens")
    pattern = st.segmented_control(
        "Pattern",
        ["any", *PATTERNS],
        default="any",
        format_func=pattern_name,
        key="pattern",
        bind="query-params",
        required=True,
    )
    group_by = st.segmented_control(
        "Compare by",
        GROUPS,
        default="technician",
        format_func=GROUP_TITLES.get,
        key="by",
        bind="query-params",
        required=True,
    )
    return group_by, pattern


def where(page: Page, group_by: str, least: int, pattern: str) -> tuple[str | None, pd.DataFrame]:
    """Draw and list the groups."""
    asked_pattern = None if pattern == "any" else pattern
    groups = measured(asked_pattern, group_by=group_by, page=page)
    groups["label"] = [page.labels.of(group_by, group) for group in groups["group"]]
    groups = judged(groups, "with_pattern", "asked", least)
    if groups.empty:
        st.info("Cannot be said from these records: they lack readings, parts or known appliances.")
    else:
        drawn = groups.nlargest(25, "asked").sort_values("label")
        widgets.chart(
            charts_diagnosis.rate_with_expected(drawn, pattern_name(pattern).lower()),
            alt=f"{pattern_name(pattern)} by {GROUP_TITLES[group_by].lower()}: "
            + "; ".join(
                f"{g.label} {g.words}, {g.verdict_words}" for g in drawn.head(12).itertuples()
            ),
            key="groups",
        )
        st.caption(
            "Groups stand in alphabetical order, never by rate: they do different work. The tick "
            "is what this group's own jobs would show at the shop's rate of each kind and "
            "complaint. “Different” is outside 99.8 % limits, “worth a look” outside 95 %; "
            f"groups under {least} jobs are faded."
            + (" The 25 groups with most jobs are drawn." if len(groups) > 25 else "")
        )
        widgets.table(groups, SHOWN)
        widgets.download(groups.drop(columns=["expected_rate", "verdict"]), "misdiagnosis")
    return asked_pattern, groups


def which_parts(page: Page, least: int) -> tuple[str | None, pd.DataFrame]:
    """List replaced parts by the evidence for them."""
    st.subheader("Which parts")
    parts, component = page.rows("diagnosis_parts"), None
    if parts.empty:
        st.info("No replaced part that can be tested is in this filter.")
    else:
        component = st.selectbox(
            "Part",
            [None, *parts["group"]],
            format_func=lambda part: (
                "all parts" if part is None else page.labels.of("component", part)
            ),
            key="part",
            bind="query-params",
        )
        if component is not None:
            parts = page.rows("diagnosis_parts", component=component)
        field = "component" if component is None else "technician"
        parts["label"] = [page.labels.of(field, group) for group in parts["group"]]
        parts = judged(parts, "without", "replaced", least)
        # a part's own rate is its expected one: only technicians are held against it
        shown = [c for c in PARTS_SHOWN if component or c not in ("expected", "verdict_words")]
        widgets.table(parts, {column: PARTS_SHOWN[column] for column in shown})
        st.caption(
            "Without evidence = untested or contradicted: nothing measured speaks for the part. "
            "Parts that the register has no test for are left out. A test can be blind to a "
            "failure (a seized motor may read good when cold): then a right diagnosis looks "
            "contradicted."
        )
    return component, parts


def the_jobs(
    page: Page,
    asked_pattern: str | None,
    component: str | None,
    group_by: str,
    groups: pd.DataFrame,
    parts: pd.DataFrame,
) -> None:
    """List the jobs behind a pattern."""
    st.subheader("The jobs")
    values = dict(zip(groups["label"], groups["group"], strict=True)) if not groups.empty else {}
    only = st.selectbox(
        f"Only {GROUP_TITLES[group_by].lower()}",
        [None, *values],
        format_func=lambda label: "all" if label is None else label,
        key="only",
        bind="query-params",
    )
    jobs = page.rows(
        "diagnosis_jobs",
        pattern=asked_pattern,
        group_by=group_by,
        group_value=values.get(only),
        component=component if not parts.empty else None,
    )
    st.write(f"{words.counted(len(jobs), 'job')}. A number opens it with readings and parts.")
    jobs = widgets.listed(jobs)
    kinds = jobs["appliance_kind"]
    jobs = jobs.assign(
        symptom=page.labels.column("symptom", jobs["symptom"], kinds),
        recorded_cause=page.labels.column("cause", jobs["recorded_cause"], kinds),
        final_cause=page.labels.column("cause", jobs["final_cause"], kinds),
        appliance_kind=page.labels.column("appliance_kind", kinds, kinds),
        replaced=jobs["replaced"].str.replace("_", " "),
    )
    widgets.table(
        with_links(jobs),
        {
            "job_id": JOB_COLUMN,
            "closed_on": st.column_config.DateColumn("Closed"),
            "technician": st.column_config.TextColumn("Technician"),
            "appliance_kind": st.column_config.TextColumn("Appliance"),
            "symptom": st.column_config.TextColumn("Complaint"),
            "recorded_cause": st.column_config.TextColumn("Recorded cause"),
            "final_cause": st.column_config.TextColumn("Turned out as"),
            "replaced": st.column_config.TextColumn("Replaced: evidence"),
            "wrong_parts_cost": st.column_config.NumberColumn("Unneeded parts", format="%.0f"),
        },
    )
    widgets.show_cautions("one_reading")
    widgets.how_counted("misdiagnosis")


def measured(pattern: str | None, page: Page, **parameters: object) -> pd.DataFrame:
    """Return the measure for one pattern, None for any of the five."""
    return page.measure("misdiagnosis", pattern=pattern, **parameters)


def judged(table: pd.DataFrame, count: str, of: str, least: int) -> pd.DataFrame:
    """Add rate words and what the count says against what is expected of these jobs."""
    result = table[table[of] > 0].copy()
    result["expected_rate"] = result["expected"] / result[of]
    rows = list(result.itertuples())
    result["words"] = [words.rate(getattr(r, count), getattr(r, of), r.low, r.high) for r in rows]
    told = funnel.verdicts(result["rate"], result[of], result["expected_rate"])
    result["verdict"] = pd.Series(told, result.index, object).fillna("inside")
    result.loc[result[of] < least, "verdict"] = "too few"
    result["verdict_words"] = result["verdict"].map(VERDICTS)
    return result.sort_values("label", kind="stable").reset_index(drop=True)


def pattern_name(pattern: str | None) -> str:
    """Write a pattern's name."""
    return "Any of the five" if pattern == "any" else PATTERNS[pattern][1]


if __name__ == "__main__":
    shell.show(draw)
