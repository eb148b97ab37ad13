"""The section that compares groups fairly: appliance by appliance, then in total."""

import pandas as pd
import streamlit as st

from dashboard.fairness import charts as charts_fairness
from dashboard.fairness import compute as fairness
from dashboard.fairness import sentences as fairness_words
from dashboard.text import format as words
from dashboard.text.escape_markdown import verbatim
from dashboard.ui import widgets
from dashboard.ui.group_table import GROUP_TITLES, prepared
from dashboard.ui.page import Page

PEOPLE = ("technician", "branch")
SHOWN = {
    "label": st.column_config.TextColumn("Group"),
    "verdict": st.column_config.TextColumn("Against chance", width="medium"),
    "mature": st.column_config.NumberColumn("Old enough", help="repairs older than the window"),
    "fixed_first_time": st.column_config.NumberColumn("Fixed first time"),
    "rate": st.column_config.NumberColumn("As counted", format="percent"),
    "low": st.column_config.NumberColumn("95 % from", format="percent"),
    "high": st.column_config.NumberColumn("to", format="percent"),
    "adjusted_rate": st.column_config.NumberColumn(
        "With the shop's mix", format="percent", help="the rate if the group had the shop's work"
    ),
    "shrunk_rate": st.column_config.NumberColumn(
        "Best guess",
        format="percent",
        help="the group's own long-run rate: few jobs are drawn toward the mean of the groups",
    ),
    "shrunk_low": st.column_config.NumberColumn("best guess from", format="percent"),
    "shrunk_high": st.column_config.NumberColumn("to ", format="percent"),
    "chance_below": st.column_config.NumberColumn(
        "Below the shop?",
        format="percent",
        help="chance that the long-run rate is below the shop's",
    ),
    "expected": st.column_config.NumberColumn(
        "Expected fixed",
        format="%.1f",
        help="if every job had the shop's rate of its kind and complaint",
    ),
    "ratio": st.column_config.NumberColumn(
        "Not fixed / expected", format="%.2f", help="1 = as the shop with the same work"
    ),
    "ratio_low": st.column_config.NumberColumn("ratio from", format="%.2f"),
    "ratio_high": st.column_config.NumberColumn(" to", format="%.2f"),
    "pending": st.column_config.NumberColumn("Pending", help="younger than the window"),
    "left_out": st.column_config.NumberColumn("Left out", help="unit or visits not known"),
}
BY_KIND = {
    "kind": st.column_config.TextColumn("Appliance"),
    "label": st.column_config.TextColumn("Group"),
    "words": st.column_config.TextColumn("Fixed first time", width="large"),
}


def compare(page: Page) -> None:
    """Let the reader choose a grouping and draw it: by appliance, funnel, table."""
    group_by = st.segmented_control(
        "Compare by",
        list(GROUP_TITLES),
        default="technician",
        format_func=GROUP_TITLES.get,
        key="by",
        bind="query-params",
        required=True,
    )
    noun = GROUP_TITLES[group_by].lower()
    table = page.measure("first_time_fix", group_by=group_by)
    groups = prepared(table, group_by, page.labels, page.settings["min_jobs"], "fixed_first_time")
    is_work = group_by in ("appliance_kind", "symptom")
    if group_by in PEOPLE:
        by_appliance(page, group_by, noun)
    draw_funnel(groups, noun, is_work)
    groups["verdict"] = groups["funnel"].map(fairness_words.verdict)
    widgets.table(groups, SHOWN)
    best_guess_note(groups)
    hidden = ["is_few", "judged_rate", "verdict"]
    widgets.download(groups.drop(columns=hidden), "first_time_fix")


def by_appliance(page: Page, group_by: str, noun: str) -> None:
    """Show the groups within each appliance before any total, and name paradoxes."""
    rows = page.rows("fix_by_kind", group_by=group_by)
    reversed_pairs = fairness.reversals(rows, page.settings["min_jobs"])
    for better, worse in reversed_pairs:
        st.warning(
            f"{verbatim(better)} does better than {verbatim(worse)} on every appliance that both "
            "repair often, and worse in total: their work differs. Trust the appliances, not "
            "the total.",
            icon=":material/balance:",
        )
    if not reversed_pairs:
        st.caption(
            f"Checked first, appliance by appliance: no {noun} is better on every appliance than "
            "another one and worse in total."
        )
    rows["kind"] = [page.labels.of("appliance_kind", kind) for kind in rows["appliance_kind"]]
    rows["label"] = rows["group"]
    rows["words"] = [
        words.rate(row.fixed_first_time, row.mature, row.low, row.high)
        for row in rows.itertuples(index=False)
    ]
    with st.expander("Appliance by appliance"):
        widgets.table(rows, BY_KIND)


def draw_funnel(groups: pd.DataFrame, noun: str, is_work: bool) -> None:
    """Say who differs by more than chance, and draw the funnel; nothing without mature jobs."""
    known = groups[groups["mature"] > 0]
    if known.empty:
        return
    st.markdown(fairness_words.groups(known, noun))
    shop_rate = known["judged_against"].iloc[0]
    if not 0 < shop_rate < 1:
        st.caption("Every repair ended the same way: there is nothing to tell groups apart by.")
        return
    limits = fairness.funnel_limits(shop_rate, int(known["mature"].max() * 1.1) + 1)
    widgets.chart(
        charts_fairness.funnel(known, limits, shop_rate),
        alt="; ".join(
            f"{g.label}: {words.percent(g.judged_rate)} of {g.mature} jobs, "
            f"{fairness_words.verdict(g.funnel)}"
            for g in known.head(12).itertuples()
        ),
        key="groups",
    )
    height = (
        "the rate as counted"
        if is_work
        else "the rate with the shop's mix of work, compared with the others without those clearly "
        "different (so a bad month of one does not make the others look special)"
    )
    st.caption(
        f"Each dot is one {noun}, at {height}. Chance alone puts 95 of 100 between the dotted "
        f"lines and 998 of 1,000 between the dashed ones: with {len(known)} compared, about "
        f"{words.number(0.05 * len(known), 1)} lie outside the dotted lines by chance. "
        "The upper lines mirror the lower lines of failures. Faded: too few jobs to say. Those "
        "outside are named."
    )


def best_guess_note(groups: pd.DataFrame) -> None:
    """Say what the best guess rests on."""
    known = groups[groups["mature"] > 0]
    if known.empty:
        return
    if known["shrunk_low"].isna().all():
        st.caption(
            "Best guess: these groups spread no more than chance alone would spread them, so the "
            "best guess is the shop's rate for all of them."
        )
        return
    st.caption(
        "Best guess: the rate as counted, drawn toward the mean of the groups shown, the more the "
        "fewer the jobs. It does not take the mix of work into account, and with few groups its "
        "interval is somewhat too short."
    )
