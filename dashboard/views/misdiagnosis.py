"""Misdiagnosis: the habit that stands out, what habits go with, which parts, which jobs."""

from dataclasses import dataclass

import pandas as pd
import streamlit as st

from dashboard.diagnosis import charts as diagnosis_charts
from dashboard.diagnosis.comparison import Standout, clearest, compared
from dashboard.diagnosis.misdiagnosis_sentences import stands_out, wrong_diagnoses
from dashboard.evidence.chance import PartChance, part_chance
from dashboard.evidence.patterns import HABITS, PATTERNS, pattern_name
from dashboard.rows import each_row
from dashboard.text import format as words
from dashboard.text.cautions import dangers
from dashboard.ui import columns, shell, widgets
from dashboard.ui.by_click import set_choice
from dashboard.ui.group_choice import compare_by
from dashboard.ui.group_table import GROUP_TITLES
from dashboard.ui.page import Page
from dashboard.views.sections.diagnosis_habits import draw_calibration, draw_habits
from dashboard.views.sections.diagnosis_jobs import draw_jobs
from dashboard.views.sections.diagnosis_parts import draw_parts
from dashboard.views.sections.joined_spellings import say_joined

GROUPS = ("technician", "symptom", "cause", "appliance_kind", "branch")
MOST_GROUPS = 25  # in the chart: more cannot be read


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
    found = finding(page)
    draw_habits(page, chance)
    st.markdown(wrong_diagnoses(shop.iloc[0], page.settings["callback_window_days"], page.currency))
    chosen = choose(found)
    groups = where(page, chosen)
    component = draw_parts(page)
    the_jobs(page, chosen, groups, component, chance, found)
    widgets.show_dangers(dangers(page.kinds))
    widgets.show_cautions("one_reading")
    draw_calibration(page, chance)
    widgets.how_counted("misdiagnosis")


def finding(page: Page) -> Standout | None:
    """Say which habit stands out for one technician; return it."""
    least = page.settings["min_jobs"]
    tables = {
        habit: labelled(page, page.measure("misdiagnosis", pattern=habit, group_by="technician"))
        for habit in HABITS
    }
    tables = {habit: compared(t, "with_pattern", "asked", least) for habit, t in tables.items()}
    found = clearest(tables)
    name = "" if found is None else pattern_name(found.pattern)
    st.markdown(stands_out(found, name, "technician", sum(len(t) for t in tables.values())))
    st.caption("A pattern is a reason to look at a job, never a judgment of a person.")
    return found


def labelled(page: Page, groups: pd.DataFrame, by: str = "technician") -> pd.DataFrame:
    """Return the groups with their labels."""
    return groups.assign(label=[page.labels.of(by, group) for group in groups["group"]])


def choose(found: Standout | None) -> Chosen:
    """Let the viewer choose a pattern and what to compare by; the habit that stands out first."""
    st.subheader("Where it happens")
    pattern = st.segmented_control(
        "Pattern",
        ["wrong", *PATTERNS],
        default="wrong" if found is None else found.pattern,
        format_func=lambda name: pattern_name(None if name == "wrong" else name),
        key="pattern",
        bind="query-params",
        required=True,
    )
    group_by = compare_by("technician", GROUPS)
    return Chosen(None if pattern == "wrong" else pattern, group_by)


def where(page: Page, chosen: Chosen) -> pd.DataFrame:
    """Draw and list the groups; return them with their labels."""
    least, by = page.settings["min_jobs"], chosen.group_by
    groups = page.measure("misdiagnosis", pattern=chosen.pattern, group_by=by)
    groups = compared(labelled(page, groups, by), "with_pattern", "asked", least)
    if groups.empty:
        st.info("Cannot be said from these records: they lack readings, parts or known appliances.")
        return groups
    say_joined(page, by)
    drawn = groups.nlargest(MOST_GROUPS, "asked").sort_values("label")
    name = pattern_name(chosen.pattern)
    event = widgets.chart(
        diagnosis_charts.rate_with_expected(drawn, name),
        alt=f"{name} by {GROUP_TITLES[by].lower()}: "
        + "; ".join(f"{g.label} {g.words}, {g.verdict_words}" for g in each_row(drawn.head(12))),
        key="groups",
        title=f"{name}: {who_differs(drawn)}",
        on_select="rerun",
        selection_mode="points",
    )
    set_choice("only", widgets.clicked(event, field="y"), "chart")
    st.caption(
        "Click a dot or a row for its jobs. The tick is what the rest of the shop shows on "
        "the same appliances and complaints, without groups that clearly differ."
        + (f" The {MOST_GROUPS} largest groups are drawn." if len(groups) > MOST_GROUPS else "")
    )
    list_groups(page, groups, least)
    return groups


def who_differs(groups: pd.DataFrame) -> str:
    """Say which groups are different from the rest."""
    outside = [str(each) for each in groups.loc[groups["verdict"] == "different", "label"]]
    if not outside:
        return "no group is clearly different from the rest."
    return (
        f"{words.listed(outside)} {'is' if len(outside) == 1 else 'are'} different from the rest."
    )


def list_groups(page: Page, groups: pd.DataFrame, least: int) -> None:
    """List the groups, the costliest first; the further figures under Details."""
    listed = groups.assign(
        shows_it=[f"{g.with_pattern:,} of {g.asked:,}" for g in each_row(groups)],
    ).sort_values(["cost", "label"], ascending=[False, True], ignore_index=True)
    shown = {
        "label": columns.text("Group"),
        "shows_it": columns.text("Jobs with it", help="of the jobs that can be judged"),
        "expected": columns.count("Expected", help="from the rest of the shop for the same work"),
        "verdict_words": columns.text("Compared with expected"),
        "cost": columns.money(
            "Cost", page.currency, help="labor after the wrong visit, and parts not needed"
        ),
    }
    further = {
        "label": columns.text("Group"),
        "words": columns.text("Rate (95% interval)"),
        "lost_min": columns.minutes("Time lost"),
        "unneeded_parts_cost": columns.money("Parts not needed", page.currency),
    }
    row = widgets.clicked_row(listed, shown, "group_rows")
    set_choice("only", None if row is None else listed["label"].iloc[row], "row")
    with st.expander("Details"):
        row = widgets.clicked_row(listed, further, "group_details")
        set_choice("only", None if row is None else listed["label"].iloc[row], "details")
        st.caption(
            "“Different” is outside 99.8% limits around the expected count, “worth a look” outside "
            f"95%; groups under {least} jobs are faded and get no verdict. Groups do different "
            "work: compare each with its own expected count, not with the others."
        )
    widgets.download(groups.drop(columns=["expected_rate", "verdict"]), "misdiagnosis")


def the_jobs(
    page: Page,
    chosen: Chosen,
    groups: pd.DataFrame,
    component: str | None,
    chance: PartChance,
    found: Standout | None,
) -> None:
    """List the jobs behind a pattern; at first those of the group that stands out."""
    st.subheader("The jobs")
    values = {} if groups.empty else dict(zip(groups["label"], groups["group"], strict=True))
    options = [None, *values]
    first = 0
    if found is not None and chosen == Chosen(found.pattern, "technician"):
        first = options.index(found.label)
    only = st.selectbox(
        GROUP_TITLES[chosen.group_by],
        options,
        index=first,
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
