"""Misdiagnosis: how often the diagnosis was wrong, which habits go with it, what it cost."""

from dataclasses import dataclass

import pandas as pd
import streamlit as st

from dashboard.diagnosis import charts as diagnosis_charts
from dashboard.diagnosis.comparison import compared
from dashboard.evidence.chance import PartChance, part_chance
from dashboard.evidence.compute import judged
from dashboard.evidence.patterns import PATTERNS, pattern_name
from dashboard.evidence.sentences import wrong_diagnoses
from dashboard.ui import shell, widgets
from dashboard.ui.group_table import GROUP_TITLES
from dashboard.ui.page import Page
from dashboard.views.sections.diagnosis_habits import draw_calibration, draw_habits
from dashboard.views.sections.diagnosis_jobs import draw_jobs

GROUPS = ("technician", "symptom", "cause", "appliance_kind", "branch")
MOST_GROUPS = 25  # in the chart: more cannot be read
SHOWN = {
    "label": st.column_config.TextColumn("Group"),
    "asked": st.column_config.NumberColumn("Jobs checked"),
    "with_pattern": st.column_config.NumberColumn("Show it"),
    "expected": st.column_config.NumberColumn(
        "Expected", format="%.1f", help="at the rate of the rest of the shop for the same work"
    ),
    "rate": st.column_config.NumberColumn("Rate", format="percent"),
    "low": st.column_config.NumberColumn("95% from", format="percent"),
    "high": st.column_config.NumberColumn("to", format="percent"),
    "verdict_words": st.column_config.TextColumn("Against expected"),
    "lost_min": st.column_config.NumberColumn("Minutes lost", format="%.0f"),
    "unneeded_parts_cost": st.column_config.NumberColumn("Unneeded parts", format="%.0f"),
    "cost": st.column_config.NumberColumn("Cost", format="%.0f"),
}
PARTS_SHOWN = {
    "label": st.column_config.TextColumn("Replaced"),
    "replaced": st.column_config.NumberColumn("Times"),
    "supported": st.column_config.NumberColumn("Supported", help="readings speak for the part"),
    "unclear": st.column_config.NumberColumn("Unclear", help="readings that decide little"),
    "against": st.column_config.NumberColumn("Against", help="readings speak strongly against it"),
    "not_tested": st.column_config.NumberColumn("Not tested", help="no test that can see it fail"),
    "rate": st.column_config.NumberColumn("Share not tested", format="percent"),
    "low": st.column_config.NumberColumn("95% from", format="percent"),
    "high": st.column_config.NumberColumn("to", format="percent"),
    "held": st.column_config.NumberColumn("Were right", help="as far as the outcome shows"),
    "judged": st.column_config.NumberColumn("of known outcome"),
    "expected": st.column_config.NumberColumn("Expected", format="%.1f"),
    "verdict_words": st.column_config.TextColumn("Against expected"),
    "cost": st.column_config.NumberColumn("Cost of untested parts", format="%.0f"),
}


@dataclass(frozen=True)
class Chosen:
    """What the viewer compares: a pattern (None: wrong diagnosis) and by what."""

    pattern: str | None
    group_by: str


def draw(page: Page) -> None:
    """Draw the page."""
    page.begin("Was the diagnosis right?")
    shop = page.measure("misdiagnosis")
    if shop.empty:
        st.info("No completed repair is in this filter. Widen the dates or clear a filter.")
        st.stop()
    chance = part_chance(page.rows("part_outcomes"))
    st.markdown(wrong_diagnoses(shop.iloc[0], page.settings["callback_window_days"]))
    st.caption("A pattern is a reason to look at a job, not a verdict on a person.")
    draw_habits(page, chance)
    chosen = choose()
    groups = where(page, chosen)
    component = which_parts(page)
    the_jobs(page, chosen, groups, component, chance)
    draw_calibration(page, chance)
    widgets.show_cautions("one_reading")
    widgets.how_counted("misdiagnosis")


def choose() -> Chosen:
    """Let the viewer choose a pattern and what to compare by."""
    st.subheader("Where it happens")
    pattern = st.segmented_control(
        "Pattern",
        ["wrong", *PATTERNS],
        default="wrong",
        format_func=lambda name: pattern_name(None if name == "wrong" else name),
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
    return Chosen(None if pattern == "wrong" else pattern, group_by)


def where(page: Page, chosen: Chosen) -> pd.DataFrame:
    """Draw and list the groups; return them with their labels."""
    least, by = page.settings["min_jobs"], chosen.group_by
    groups = page.measure("misdiagnosis", pattern=chosen.pattern, group_by=by)
    groups["label"] = [page.labels.of(by, group) for group in groups["group"]]
    groups = compared(groups, "with_pattern", "asked", least)
    if groups.empty:
        st.info("Cannot be said from these records: they lack readings, parts or known appliances.")
        return groups
    drawn = groups.nlargest(MOST_GROUPS, "asked").sort_values("label")
    name = pattern_name(chosen.pattern)
    widgets.chart(
        diagnosis_charts.rate_with_expected(drawn, name.lower()),
        alt=f"{name} by {GROUP_TITLES[by].lower()}: "
        + "; ".join(f"{g.label} {g.words}, {g.verdict_words}" for g in drawn.head(12).itertuples()),
        key="groups",
    )
    st.caption(
        "Groups are in alphabetical order, never by rate: they do different work. The tick is what "
        "the rest of the shop shows on the same appliances and complaints, without groups that "
        "clearly differ. “Different” is outside "
        f"99.8% limits, “worth a look” outside 95%; groups under {least} jobs are faded."
        + (f" The {MOST_GROUPS} largest groups are drawn." if len(groups) > MOST_GROUPS else "")
    )
    widgets.table(groups, SHOWN)
    widgets.download(groups.drop(columns=["expected_rate", "verdict"]), "misdiagnosis")
    return groups


def which_parts(page: Page) -> str | None:
    """List replaced parts by what the readings said; return the component chosen."""
    st.subheader("Which parts")
    parts = page.rows("diagnosis_parts")
    if parts.empty:
        st.info("No replaced part that can be tested is in this filter.")
        return None
    component = st.selectbox(
        "Part",
        [None, *parts["group"]],
        format_func=lambda part: "all parts" if part is None else page.labels.of("component", part),
        key="part",
        bind="query-params",
    )
    if component is not None:
        parts = page.rows("diagnosis_parts", component=component)
    table = pd.DataFrame() if component is None else page.rows("part_strata", component=component)
    parts = judged(parts, table, "not_tested", "replaced")
    field = "component" if component is None else "technician"
    parts["label"] = [page.labels.of(field, group) for group in parts["group"]]
    parts = compared(parts, "not_tested", "replaced", page.settings["min_jobs"])
    # parts are not compared with each other: only technicians with the same part
    shown = [c for c in PARTS_SHOWN if component or c not in ("expected", "verdict_words")]
    widgets.table(parts, {column: PARTS_SHOWN[column] for column in shown})
    st.caption(
        "Parts that no listed test can see fail are left out. A technician also looks and listens: "
        "a part that was not tested was still right most of the time."
    )
    return component


def the_jobs(
    page: Page, chosen: Chosen, groups: pd.DataFrame, component: str | None, chance: PartChance
) -> None:
    """List the jobs behind a pattern, of one group when the viewer chooses it."""
    st.subheader("The jobs")
    values = {} if groups.empty else dict(zip(groups["label"], groups["group"], strict=True))
    only = st.selectbox(
        GROUP_TITLES[chosen.group_by],
        [None, *values],
        format_func=lambda label: "all" if label is None else label,
        key="only",
        bind="query-params",
    )
    narrowed = {
        "pattern": chosen.pattern,
        "group_by": chosen.group_by,
        "group_value": values.get(only),
        "component": component,
    }
    draw_jobs(page, narrowed, chance)


if __name__ == "__main__":
    shell.show(draw)
