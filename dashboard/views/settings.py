"""Settings: what the shop decides; read from and written to ohmhours.toml."""

from collections.abc import Mapping
from typing import Any

import pandas as pd
import streamlit as st

from dashboard.errors import UserError
from dashboard.loading.rebuild import save_and_rebuild
from dashboard.settings.definitions import PRICING, SERVICE_VOLTS, SETTINGS, STOCK
from dashboard.settings.file import FILE
from dashboard.text.escape_markdown import verbatim
from dashboard.ui import shell, widgets
from dashboard.ui.page import Page
from dashboard.ui.settings_form import settings_form, title_of

SHOP = ("shop_name", "temperature_unit")
COUNTING = ("callback_window_days", "min_jobs", "wrong_seen_share", "baseline_months")
BY_KEY = {setting.key: setting for setting in SETTINGS}


def draw(page: Page) -> None:
    """Draw the page; it works before the first load, too."""
    page.title("Settings")
    if not page.settings:
        file = verbatim(page.folder / FILE)
        st.error(f"{verbatim(page.problem)}. Fix {file}; until then no page can count.")
        st.stop()
    st.markdown(
        f"Saved in `{FILE}` in the database folder; pages, reports and commands all use them."
    )
    settings_form("Your shop", [BY_KEY[key] for key in SHOP], page.settings, page.folder, "shop")
    counting = [BY_KEY[key] for key in COUNTING]
    settings_form("How jobs are counted", counting, page.settings, page.folder, "counting")
    settings_form("Your rates and costs", PRICING, page.settings, page.folder, "pricing")
    settings_form("What a van carries", STOCK, page.settings, page.folder, "stock")
    with st.expander("Data through, and service voltage"), st.form("judging"):
        changed = judging(page.settings)
        if st.form_submit_button("Save and rebuild", type="primary"):
            save(page, changed)
    with st.expander("All settings, and their names in the file"):
        widgets.table(pd.DataFrame([row_of(setting, page.settings) for setting in SETTINGS]))


def judging(current: Mapping[str, Any]) -> dict[str, Any]:
    """Let the owner choose what the records are judged by; return the settings chosen."""
    st.caption("Saving these reads all records again, which can take a minute.")
    as_of = st.date_input(
        "Data through",
        value=current["as_of"],
        help=BY_KEY["as_of"].meaning,
        key="setting_as_of",
    )
    volts = current["service_volts"]
    is_by_branch = isinstance(volts, dict)
    chosen = st.selectbox(
        "Service voltage",
        SERVICE_VOLTS,
        index=SERVICE_VOLTS.index(240 if is_by_branch else volts),
        format_func=lambda value: f"{value} V",
        help=BY_KEY["service_volts"].meaning,
        disabled=is_by_branch,
        key="setting_volts",
    )
    if is_by_branch:
        st.caption(f"The branches differ ({verbatim(volts)}): change them in {FILE}.")
        return {"as_of": as_of}
    return {"as_of": as_of, "service_volts": chosen}


def save(page: Page, changed: dict[str, Any]) -> None:
    """Save and rebuild, or say why neither happened."""
    try:
        save_and_rebuild(page.folder, changed)
    except UserError as problem:
        st.error(f"Not saved. {verbatim(problem)}")
    else:
        st.rerun()


def row_of(setting: Any, current: Mapping[str, Any]) -> dict[str, Any]:
    """Return one setting as a row of the table."""
    now, default = current[setting.key], setting.default
    return {
        "Setting": title_of(setting),
        "In the file": setting.key,
        "Now": None if now is None else _plain(now),
        "Default": None if default is None else _plain(default),
        "Meaning": f"{setting.meaning} ({setting.unit})",
    }


def _plain(value: Any) -> str:
    return f"{value:,g}" if isinstance(value, float) else str(value)


if __name__ == "__main__":
    shell.show(draw)
