"""The choice of one complaint on one kind of appliance, kept in the URL."""

import pandas as pd
import streamlit as st

from dashboard.labels import Labels
from dashboard.words import counted


def choose_complaint(counts: pd.Series, labels: Labels) -> tuple[str, str]:
    """Let the reader choose; `counts` are jobs by (appliance kind, symptom). Most jobs first."""
    ordered = counts.sort_index().sort_values(ascending=False, kind="stable")
    keys = {f"{kind}/{symptom}": (kind, symptom) for kind, symptom in ordered.index}

    def written(key: str) -> str:
        kind, symptom = keys[key]
        jobs = counted(int(ordered[kind, symptom]), "job")
        kind_label = labels.of("appliance_kind", kind)
        return f"{kind_label}: {labels.of('symptom', symptom, kind)} ({jobs})"

    chosen = st.selectbox(
        "Complaint", list(keys), format_func=written, key="complaint", bind="query-params"
    )
    return keys[chosen]
