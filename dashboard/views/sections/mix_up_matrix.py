"""Section: agreement beyond chance, and one complaint's mix-ups as a matrix."""

import textwrap

import pandas as pd
import streamlit as st

from dashboard.diagnosis import charts as diagnosis_charts
from dashboard.diagnosis.compute import mix_up_matrix
from dashboard.diagnosis.mix_up_sentences import agreement
from dashboard.rows import each_row
from dashboard.ui import widgets
from dashboard.ui.complaint_picker import choose_complaint
from dashboard.ui.page import Page

MOST_DRAWN = 12  # parts in the picture: more cannot be read


def draw_matrix(page: Page, pairs: pd.DataFrame) -> None:
    """Say the agreement of all diagnoses and of one complaint, and draw that as a matrix."""
    least = page.settings["min_jobs"]
    st.markdown(f"All complaints: {agreement(mix_up_matrix(pairs), least)}")
    counts = pairs.groupby(["appliance_kind", "symptom"])["jobs"].sum()
    kind, symptom = choose_complaint(counts, page.labels)
    chosen = pairs[(pairs["appliance_kind"] == kind) & (pairs["symptom"] == symptom)]
    matrix = mix_up_matrix(chosen)
    st.markdown(f"This complaint: {agreement(matrix, least)}")
    drawn = matrix.iloc[:MOST_DRAWN, :MOST_DRAWN]
    names = {part: page.labels.of("component", part) for part in matrix.index}
    short = {part: textwrap.shorten(name, 24, placeholder=" …") for part, name in names.items()}
    if len(set(short.values())) < len(short):
        short = names  # two that would read alike stay whole
    widgets.chart(
        diagnosis_charts.confusion(drawn.rename(index=short, columns=short)),
        alt="First diagnosis against final cause: "
        + "; ".join(
            f"{names[r.first_component]} to {names[r.final_component]} {r.jobs}"
            for r in each_row(chosen.nlargest(12, "jobs"))
        ),
        key="matrix",
    )
    if len(matrix) > MOST_DRAWN:
        st.caption(
            f"The {MOST_DRAWN} parts with most jobs of {len(matrix)}; the table has them all."
        )
