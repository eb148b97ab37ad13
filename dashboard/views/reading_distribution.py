"""Readings: what the meter said at a test point, against its limits."""

import pandas as pd
import streamlit as st

from dashboard import charts, page, words

TITLE = "What did the meter say?"
SHOWN = {
    "label": st.column_config.TextColumn("Test point", width="medium"),
    "unit": st.column_config.TextColumn("Unit"),
    "n": st.column_config.NumberColumn("Readings"),
    "over_limit": st.column_config.NumberColumn("Open"),
    "p05": st.column_config.NumberColumn("5 %", format="%.4g"),
    "p50": st.column_config.NumberColumn("Median", format="%.4g"),
    "p95": st.column_config.NumberColumn("95 %", format="%.4g"),
    "tol_low": st.column_config.NumberColumn("Limit from", format="%.4g"),
    "tol_high": st.column_config.NumberColumn("to", format="%.4g"),
    "share_inside": st.column_config.NumberColumn("Inside", format="percent"),
    "share_doubtful": st.column_config.NumberColumn("Doubtful", format="percent"),
    "share_outside": st.column_config.NumberColumn("Outside", format="percent"),
    "confidence": st.column_config.TextColumn("Trust in the limit"),
}
HAZARD_CAUTIONS = (
    "stored_energy",
    "gas",
    "refrigerant",
    "sharp",
    "hot",
    "moving",
    "water",
    "heavy",
    "radiation",
)

this = page.begin(TITLE)
table = this.measure("reading_distribution")
if table.empty:
    st.info(
        "No reading is in this filter. A source without readings cannot support this page; "
        "otherwise clear a filter at the left."
    )
    st.stop()
table["label"] = [this.labels.of("test_point", point) for point in table["test_point"]]
table["unit"] = [words.unit_sign(unit) for unit in table["unit"]]
by_count = table.sort_values(["readings", "test_point"], ascending=[False, True])
point = st.selectbox(
    "Test point",
    by_count["test_point"].tolist(),
    format_func=lambda id_: (
        f"{this.labels.of('test_point', id_)} "
        f"({words.counted(int(by_count.set_index('test_point').loc[id_, 'readings']), 'reading')})"
    ),
    key="point",
    bind="query-params",
)
row = table.set_index("test_point").loc[point]
bins = this.rows("reading_bins", test_point=point)
limit = this.rows("limits", test_point=point).iloc[0]


def limit_words(low: float, high: float, unit: str) -> str:
    """Write limits as "8 to 10 Ω", "at least 1 MΩ", "at most 2 Ω" or "none in numbers"."""
    if words.is_missing(low) and words.is_missing(high):
        return "none in numbers"
    if words.is_missing(high):
        return f"at least {words.significant(low)} {unit}"
    if words.is_missing(low):
        return f"at most {words.significant(high)} {unit}"
    return f"{words.significant(low)} to {words.significant(high)} {unit}"


def answer(row: pd.Series) -> str:
    """Say how the readings lie against the limits."""
    band = limit_words(row.tol_low, row.tol_high, row["unit"])
    if words.is_missing(row.share_outside):
        return (
            f"**{row.readings:,} readings, {row.over_limit:,} of them open.** The limits ({band}) "
            "are weak or depend on the nameplate: no share out of tolerance is given."
        )
    outside = round(row.share_outside * row.judged)
    told = words.rate(outside, row.judged, row.outside_low, row.outside_high, "readings")
    return f"**{told}** lie outside the limits ({band}); {row.over_limit:,} were open."


st.markdown(answer(row))
hazards = [h for h in str(limit["hazards"] or "").split("|") if h in page.cautions()]
page.show_cautions(*hazards, *(() if limit["energised"] == "energised" else ("lock_out",)))
if not bins.empty:
    page.chart(
        charts.readings(bins, row, row["unit"], bool(bins["is_log"].any())),
        alt=f"Readings at {row['label']}: median {words.significant(row.p50)} {row['unit']}, from "
        f"{words.significant(row.p05)} (5 %) to {words.significant(row.p95)} (95 %), "
        f"{row.n:,} with a number, {row.over_limit:,} open.",
        key="bins",
    )
    st.caption(
        "The green band is inside the limits; a dashed outline is a weak limit. Open readings "
        "stand apart at the right: open is a state, not a large number."
    )
st.markdown(
    f"**Where the limits come from:** {limit['source_class'].replace('_', ' ')}. "
    f"{limit['source'] or ''} Trust: {limit['confidence']}."
)
if limit["note"]:
    st.caption(limit["note"])
page.show_cautions("limits", "one_reading", "local_law")

st.subheader("All test points")
page.table(table, SHOWN)
page.download(table, "reading_distribution")
page.how_counted("reading_distribution")
