"""Settings: what the shop decides; read from and written to ohmhours.toml."""

import pandas as pd
import streamlit as st

from dashboard.errors import UserError
from dashboard.loading.rebuild import save_and_rebuild
from dashboard.settings.file import (
    FILE,
    SERVICE_VOLTS,
    SETTINGS,
    read_settings,
)
from dashboard.settings.prices import PRICING, STOCK
from dashboard.text.escape_markdown import verbatim
from dashboard.ui import page
from dashboard.ui.settings_form import settings_form

COUNTING = ("callback_window_days", "min_jobs", "baseline_months")

st.title("Settings")
folder = page.folder()
try:
    current = read_settings(folder)
except UserError as problem:
    st.error(f"{verbatim(problem)}. Mend {verbatim(folder / FILE)}; until then no page can count.")
    st.stop()
st.markdown(
    f"They stand in `{FILE}` in the database folder; pages, reports and commands go by them alike."
)
by_key = {setting.key: setting for setting in SETTINGS}
settings_form("How it is counted", [by_key[key] for key in COUNTING], current, folder, "counting")
settings_form("What work and parts cost", PRICING, current, folder, "pricing")
settings_form("What a van carries", STOCK, current, folder, "stock")

with st.expander("What the records are judged by"), st.form("judging"):
    st.caption("Saving these rebuilds the database from the raw rows.")
    as_of = st.date_input(
        "Records speak up to",
        value=current["as_of"],
        help=by_key["as_of"].meaning,
        key="setting_as_of",
    )
    volts = current["service_volts"]
    is_by_branch = isinstance(volts, dict)
    chosen = st.selectbox(
        "Service voltage",
        SERVICE_VOLTS,
        index=SERVICE_VOLTS.index(240 if is_by_branch else volts),
        format_func=lambda value: f"{value} V",
        help=by_key["service_volts"].meaning,
        disabled=is_by_branch,
        key="setting_volts",
    )
    if is_by_branch:
        st.caption(f"The branches differ ({verbatim(volts)}): change them in {FILE}.")
    if st.form_submit_button("Save and rebuild", type="primary"):
        changed = {"as_of": as_of} | ({} if is_by_branch else {"service_volts": chosen})
        try:
            save_and_rebuild(folder, changed)
        except UserError as problem:
            st.error(f"Not saved. {verbatim(problem)}")
        else:
            st.rerun()

st.subheader("Every setting")
page.table(
    pd.DataFrame(
        [
            {
                "Key": setting.key,
                "Now": str(current[setting.key]) if current[setting.key] is not None else None,
                "Default": str(setting.default) if setting.default is not None else None,
                "Unit": setting.unit,
                "Meaning": setting.meaning,
            }
            for setting in SETTINGS
        ]
    )
)
