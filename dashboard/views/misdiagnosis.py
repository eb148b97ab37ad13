"""Misdiagnosis: which repairs show a wrong diagnosis, where, and what it cost."""

import pandas as pd
import streamlit as st

from dashboard.charts import theme as charts
from dashboard.diagnosis import charts as charts_diagnosis
from dashboard.diagnosis.compute import labour_per_hour
from dashboard.job.sentences import PATTERNS
from dashboard.stats import funnel
from dashboard.text import format as words
from dashboard.ui import page
from dashboard.ui.group_table import GROUP_TITLES
from dashboard.ui.job_links import JOB_COLUMN, with_links

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

this = page.begin("Did the diagnosis hold?")
window, least = this.settings["callback_window_days"], this.settings["min_jobs"]
hourly = labour_per_hour(this.settings)


def measured(pattern: str | None, **parameters: object) -> pd.DataFrame:
    """Return the measure for one pattern, None for any of the five."""
    return this.measure("misdiagnosis", pattern=pattern, labour_per_hour=hourly, **parameters)


def judged(table: pd.DataFrame, count: str, of: str) -> pd.DataFrame:
    """Add rate words and what the count says against what is expected of these jobs."""
    result = table[table[of] > 0].copy()
    result["expected_rate"] = result["expected"] / result[of]
    rows = list(result.itertuples())
    result["words"] = [words.rate(getattr(r, count), getattr(r, of), r.low, r.high) for r in rows]
    told = funnel.verdicts(result["rate"], result[of], result["expected_rate"])
    result["verdict"] = pd.Series(told, result.index, object).fillna("inside")
    result.loc[result[of] < least, "verdict"] = "too few"
    result["verdict_words"] = result["verdict"].map(charts_diagnosis.VERDICT_WORDS)
    return result.sort_values("label", kind="stable").reset_index(drop=True)


def pattern_name(pattern: str | None) -> str:
    """Write a pattern's name."""
    return "Any of the five" if pattern == "any" else PATTERNS[pattern][1]


shop = measured(None)
if shop.empty:
    st.info("No repaired job is in this filter. Widen the dates or clear a filter at the left.")
    st.stop()
total = shop.iloc[0]
if total.asked:
    st.markdown(
        f"**{words.rate(total.with_pattern, total.asked, total.low, total.high)}** show at least "
        f"one of five patterns of a wrong diagnosis. They cost {words.number(total.lost_min / 60)} "
        f"hours of callbacks and {words.number(total.unneeded_parts_cost)} in parts that were not "
        "needed" + (f": {words.number(total.cost)} in all." if hourly is not None else ".")
    )
else:
    st.markdown(
        "**Cannot be said of all five together:** that needs readings and known appliances, on "
        f"repairs older than {window} days. What can be said stands below."
    )

shares = pd.concat([measured(name).assign(cause=name) for name in PATTERNS], ignore_index=True)
shares["label"] = [PATTERNS[name][1] for name in shares["cause"]]
shares["meaning"] = [PATTERNS[name][2] for name in shares["cause"]]
shares["words"] = [words.rate(r.with_pattern, r.asked, r.low, r.high) for r in shares.itertuples()]
shares["share"], shares["colour"] = shares["rate"], charts.SHOP
known = shares[shares["asked"] > 0]
if not known.empty:
    page.chart(
        charts.share_bars(known),
        alt="Patterns: " + "; ".join(f"{row.label} {row.words}" for row in known.itertuples()),
        key="patterns",
    )
page.table(
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
asked_pattern = None if pattern == "any" else pattern
groups = measured(asked_pattern, group_by=group_by)
groups["label"] = [this.labels.of(group_by, group) for group in groups["group"]]
groups = judged(groups, "with_pattern", "asked")
if groups.empty:
    st.info("Cannot be said from these records: they lack readings, parts or known appliances.")
else:
    drawn = groups.nlargest(25, "asked").sort_values("label")
    page.chart(
        charts_diagnosis.rate_with_expected(drawn, pattern_name(pattern).lower()),
        alt=f"{pattern_name(pattern)} by {GROUP_TITLES[group_by].lower()}: "
        + "; ".join(f"{g.label} {g.words}, {g.verdict_words}" for g in drawn.head(12).itertuples()),
        key="groups",
    )
    st.caption(
        "Groups stand in alphabetical order, never by rate: they do different work. The tick is "
        "what this group's own jobs would show at the shop's rate of each kind and complaint. "
        "“Different” is outside 99.8 % limits, “worth a look” outside 95 %; "
        f"groups under {least} jobs are faded."
        + (" The 25 groups with most jobs are drawn." if len(groups) > 25 else "")
    )
    page.table(groups, SHOWN)
    page.download(groups.drop(columns=["expected_rate", "verdict"]), "misdiagnosis")

st.subheader("Which parts")
parts = this.rows("diagnosis_parts")
if parts.empty:
    st.info("No replaced part that can be tested is in this filter.")
else:
    component = st.selectbox(
        "Part",
        [None, *parts["group"]],
        format_func=lambda part: "all parts" if part is None else this.labels.of("component", part),
        key="part",
        bind="query-params",
    )
    if component is not None:
        parts = this.rows("diagnosis_parts", component=component)
    field = "component" if component is None else "technician"
    parts["label"] = [this.labels.of(field, group) for group in parts["group"]]
    parts = judged(parts, "without", "replaced")
    # a part's own rate is its expected one: only technicians are held against it
    shown = [c for c in PARTS_SHOWN if component or c not in ("expected", "verdict_words")]
    page.table(parts, {column: PARTS_SHOWN[column] for column in shown})
    st.caption(
        "Without evidence = untested or contradicted: nothing measured speaks for the part. "
        "Parts that the register has no test for are left out. A test can be blind to a failure (a "
        "seized motor may read good when cold): then a right diagnosis looks contradicted."
    )

st.subheader("The jobs")
values = dict(zip(groups["label"], groups["group"], strict=True)) if not groups.empty else {}
only = st.selectbox(
    f"Only {GROUP_TITLES[group_by].lower()}",
    [None, *values],
    format_func=lambda label: "all" if label is None else label,
    key="only",
    bind="query-params",
)
jobs = this.rows(
    "diagnosis_jobs",
    pattern=asked_pattern,
    group_by=group_by,
    group_value=values.get(only),
    component=component if not parts.empty else None,
)
st.write(f"{words.counted(len(jobs), 'job')}. A number opens it with readings and parts.")
jobs = page.listed(jobs)
kinds = jobs["appliance_kind"]
jobs = jobs.assign(
    symptom=this.labels.column("symptom", jobs["symptom"], kinds),
    recorded_cause=this.labels.column("cause", jobs["recorded_cause"], kinds),
    final_cause=this.labels.column("cause", jobs["final_cause"], kinds),
    appliance_kind=this.labels.column("appliance_kind", kinds, kinds),
    replaced=jobs["replaced"].str.replace("_", " "),
)
page.table(
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
page.show_cautions("one_reading")
page.how_counted("misdiagnosis")
