"""The choice of one complaint on one kind of appliance, kept in the URL."""

import pandas as pd
import streamlit as st

from dashboard.database.labels import Labels


def choose_complaint(counts: pd.Series, labels: Labels) -> tuple[str, str]:
    """Let the reader choose; `counts` are jobs by (appliance kind, symptom). Most jobs first.

    The URL holds what is written in the list, so no count stands there: it would change.
    """
    ordered = counts.sort_index().sort_values(ascending=False, kind="stable")
    keys = {f"{kind}/{symptom}": (kind, symptom) for kind, symptom in ordered.index}

    def written(key: str) -> str:
        kind, symptom = keys[key]
        return f"{labels.of('appliance_kind', kind)}: {labels.of('symptom', symptom, kind)}"

    chosen = st.selectbox(
        "Complaint", list(keys), format_func=written, key="complaint", bind="query-params"
    )
    return keys[chosen]
