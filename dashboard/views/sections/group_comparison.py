"""The section that compares groups fairly: appliance by appliance, then in total."""

import pandas as pd
import streamlit as st

from dashboard.fairness import charts as charts_fairness
from dashboard.fairness import compute as fairness
from dashboard.fairness import sentences as fairness_words
from dashboard.rows import Row, each_row
from dashboard.text import format as words
from dashboard.text.escape_markdown import verbatim
from dashboard.ui import columns, navigation, widgets
from dashboard.ui.group_choice import compare_by
from dashboard.ui.group_table import GROUP_TITLES, prepared
from dashboard.ui.page import Page
from dashboard.views.sections.joined_spellings import say_joined

PEOPLE = ("technician", "branch")
SHOWN = {
    "label": columns.text("Group"),
    "mature": columns.count("Jobs counted"),
    "rate": columns.percent("Fixed first time"),
    "judged_rate": columns.percent(
        "With the shop's mix of work", help="the rate if the group had the shop's mix of work"
    ),
    "verdict": columns.text("Compared with the rest"),
}
DETAILS = {
    "label": columns.text("Group"),
    "range": columns.text("95% range", help="of the rate as counted"),
    "guess": columns.text(
        "Best guess (95%)",
        help="long-run rate: drawn toward the mean of the groups, more so with few",
    ),
    "chance_below": columns.percent(
        "Chance below shop", help="that the long-run rate is below the shop's"
    ),
    "expected": columns.count(
        "Expected fixed", help="if every job had the others' rate of its appliance and complaint"
    ),
    "ratio_words": columns.text(
        "Not fixed ÷ expected (95%)", help="1 = like the rest of the shop with the same work"
    ),
    "pending": columns.count("Too recent", help="closed too recently"),
    "left_out": columns.count("Left out", help="appliance or visits not known"),
}
BY_KIND = {
    "kind": columns.text("Appliance"),
    "label": columns.text("Group"),
    "words": columns.text("Fixed first time"),
}


def compare(page: Page) -> None:
    """Let the reader choose a grouping and draw it: funnel, table, details."""
    st.subheader("Fair comparison")
    group_by = compare_by("technician")
    noun = GROUP_TITLES[group_by].lower()
    say_joined(page, group_by)
    groups = in_words(
        prepared(
            page.measure("first_time_fix", group_by=group_by),
            group_by,
            page.labels,
            page.settings["min_jobs"],
            "fixed_first_time",
        )
    )
    if group_by in PEOPLE:
        warn_of_reversals(page, group_by)
    chosen = draw_funnel(groups, noun)
    row = widgets.clicked_row(groups, SHOWN, f"groups_{group_by}")
    chosen = groups["group"].iloc[row] if row is not None else chosen
    if chosen is not None:
        not_fixed_of(chosen, group_by)
    only_shown = ["is_few", "words", "verdict", "range", "guess", "ratio_words"]
    widgets.download(groups, "first_time_fix", SHOWN, only_shown)
    with st.expander("Details: ranges, best guess, and how the comparison works"):
        details(page, groups, group_by, noun)


def not_fixed_of(group: str, group_by: str) -> None:
    """Open the jobs of a group that were not fixed first time."""
    navigation.go("jobs", list="not_fixed", group_by=group_by, group=group)


def in_words(groups: pd.DataFrame) -> pd.DataFrame:
    """Add verdicts and ranges as text."""
    rows = list(each_row(groups))
    return groups.assign(
        verdict=groups["funnel"].map(fairness_words.verdict),
        range=[words.percent_range(r.low, r.high) for r in rows],
        guess=[words.interval(r.shrunk_rate, r.shrunk_low, r.shrunk_high) for r in rows],
        ratio_words=[
            f"{words.number(r.ratio, 2)} ({words.number(r.ratio_low, 2)}–"
            f"{words.number(r.ratio_high, 2)})"
            for r in rows
        ],
    )


def draw_funnel(groups: pd.DataFrame, noun: str) -> str | None:
    """Draw the funnel under the sentence that says who differs; return the group clicked."""
    known = groups[groups["mature"] > 0]
    if known.empty:
        return None
    shop_rate = known["judged_against"].iloc[0]
    if not 0 < shop_rate < 1:
        st.caption("Every repair ended the same way: there is nothing to compare.")
        return None
    limits = fairness.funnel_limits(shop_rate, int(known["mature"].max() * 1.1) + 1)
    event = widgets.chart(
        charts_fairness.funnel(known, limits, shop_rate),
        alt="; ".join(
            f"{g.label}: {words.percent(g.judged_rate)} of {g.mature:,} jobs, "
            f"{fairness_words.verdict(g.funnel)}"
            for g in each_row(known.head(12))
        ),
        key=f"funnel_{noun}",
        title=fairness_words.groups(known, noun),
        on_select="rerun",
        selection_mode="points",
    )
    st.caption(f"Each dot is one {noun}. Click a dot or a row to see the jobs not fixed.")
    return widgets.clicked(event)


def details(page: Page, groups: pd.DataFrame, group_by: str, noun: str) -> None:
    """Show the ranges, what the comparison rests on, and people appliance by appliance."""
    row = widgets.clicked_row(groups, DETAILS, f"details_{group_by}")
    if row is not None:
        not_fixed_of(groups["group"].iloc[row], group_by)
    known = groups[groups["mature"] > 0]
    if not known.empty:
        st.caption(how_it_works(known, group_by in ("appliance_kind", "symptom")))
        st.caption(best_guess(known))
    if group_by in PEOPLE:
        by_appliance(page, group_by, noun)


def how_it_works(known: pd.DataFrame, is_work: bool) -> str:
    """Say what the funnel's limits mean."""
    mix = (
        ""
        if is_work
        else "Rates in the chart assume the shop's mix of work. Each is compared with the rest of "
        "the shop, leaving out groups that clearly differ. "
    )
    outside = words.number(0.05 * len(known), 1)
    return (
        f"{mix}Chance alone puts 95 of 100 groups between the dotted lines and 998 of 1,000 "
        f"between the dashed ones. With {len(known)} compared, about {outside} "
        "are outside the dotted lines by chance. Faded: too few jobs to judge."
    )


def best_guess(known: pd.DataFrame) -> str:
    """Say what the best guess rests on."""
    if known["shrunk_low"].isna().all():
        return (
            "Best guess: these groups vary no more than the normal range, so it is "
            "the shop's rate for all of them."
        )
    return (
        "Best guess: the rate as counted, drawn toward the mean of the groups, more so with few "
        "jobs. It does not allow for the mix of work, and with few groups its range is somewhat "
        "too narrow."
    )


def warn_of_reversals(page: Page, group_by: str) -> None:
    """Name each pair that the total would mislead about (Simpson's paradox)."""
    rows = page.rows("fix_by_kind", group_by=group_by)
    for better, worse in fairness.reversals(rows, page.settings["min_jobs"]):
        st.warning(
            f"{verbatim(better)} does better than {verbatim(worse)} on every appliance that both "
            "repair often, and worse in total, because their work differs. Trust the appliances, "
            "not the total.",
            icon=":material/balance:",
        )


def by_appliance(page: Page, group_by: str, noun: str) -> None:
    """Show the groups within each appliance."""
    rows = page.rows("fix_by_kind", group_by=group_by)
    if rows.empty:
        return
    if not fairness.reversals(rows, page.settings["min_jobs"]):
        st.caption(
            f"Checked appliance by appliance: no {noun} does better on every appliance than "
            "another one and worse in total."
        )
    rows["kind"] = [page.labels.of("appliance_kind", kind) for kind in rows["appliance_kind"]]
    rows["label"] = rows["group"]
    rows["words"] = [
        words.rate(row.fixed_first_time, row.mature, row.low, row.high) for row in each_row(rows)
    ]
    row = widgets.clicked_row(rows, BY_KIND, f"by_kind_{group_by}")
    if row is not None:
        one: Row = rows.iloc[row]
        kind = {"appliance_kind": one.appliance_kind}
        navigation.go("jobs", list="counted", group_by=group_by, group=one.group, **kind)
