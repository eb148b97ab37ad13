"""A form that shows some of the shop's settings and saves them next to the database."""

from collections.abc import Mapping, Sequence
from math import inf
from pathlib import Path
from typing import Any

import pandas as pd
import streamlit as st

from dashboard.errors import UserError
from dashboard.rows import each_row
from dashboard.settings.file import may_save, write_settings
from dashboard.settings.types import ChoiceSetting, Setting, SlabsSetting, TextSetting
from dashboard.text.escape_markdown import verbatim

TITLES = {
    "as_of": "Data through",
    "callback_window_days": "Callback window, days",
    "service_volts": "Service voltage",
    "min_jobs": "Fewest jobs for a rate",
    "wrong_seen_share": "Share of wrong diagnoses that come to light",
    "baseline_months": "Months that count as usual",
    "wage_per_hour": "Wage per hour",
    "burden_rate": "Taxes and benefits, share of the wage",
    "paid_hours": "Paid hours a year",
    "billable_share": "Billable share of paid hours",
    "overhead_per_technician": "Overhead per technician, a year",
    "planned_quantile": "Share of jobs finished in the planned time",
    "price_step": "Round prices up to",
    "travel_minutes": "Travel per trip, minutes",
    "consumables_cost": "Consumables per job",
    "parts_slabs": "Parts markup tiers",
    "warranty_days": "Warranty, days",
    "restock_days": "Days between restocks",
    "van_budget": "Budget for parts on one van",
    "van_slots": "Pieces that fit on one van",
    "people": "Who may sign in",
}


def settings_form(
    title: str, shown: Sequence[Setting], current: Mapping[str, Any], folder: Path, key: str
) -> None:
    """Draw the settings in a closed box; saving writes them and reruns the page.

    Who may not change them is shown none.
    """
    if not all(may_save(each.key) for each in shown):
        return
    with st.expander(title), st.form(key):
        numbers = [each for each in shown if not isinstance(each, SlabsSetting)]
        columns = st.columns(3)
        chosen = {
            each.key: _field(each, current[each.key], columns[i % 3], key)
            for i, each in enumerate(numbers)
        }
        for each in shown:
            if isinstance(each, SlabsSetting):
                chosen[each.key] = _slabs(each, current[each.key], key)
        if st.form_submit_button("Save these settings", type="primary"):
            _save(folder, {k: v for k, v in chosen.items() if v != current[k]})


def title_of(setting: Setting) -> str:
    """Return what people call a setting."""
    return TITLES.get(setting.key, setting.key.replace("_", " ").capitalize())


def _save(folder: Path, changed: dict[str, Any]) -> None:
    if not changed:
        st.caption("Nothing was changed.")
        return
    try:
        write_settings(folder, changed)
    except UserError as problem:
        st.error(f"Not saved. {verbatim(problem)}")
        return
    st.rerun()


def _field(setting: Setting, value: Any, place: Any, key: str) -> Any:
    title = title_of(setting)
    if isinstance(setting, ChoiceSetting):
        return place.selectbox(
            title, setting.choices, setting.choices.index(value), help=setting.meaning,
            key=f"{key}_{setting.key}",
        )  # fmt: skip
    if not isinstance(setting, TextSetting):
        return _number(setting, value, place, key)
    return place.text_input(title, value, help=setting.meaning, key=f"{key}_{setting.key}")


def _number(setting: Setting, value: Any, place: Any, key: str) -> Any:
    kind, is_fine = type(setting.default), (setting.high or 0) <= 3
    return place.number_input(
        title_of(setting),
        min_value=kind(setting.low),
        max_value=kind(setting.high),
        value=kind(value),
        step=1 if kind is int else 0.01 if is_fine else 1.0,
        format="%d" if kind is int else "%g",
        help=f"{setting.meaning} ({setting.unit})",
        key=f"{key}_{setting.key}",
    )


def _slabs(setting: SlabsSetting, value: tuple[Any, ...], key: str) -> tuple[Any, ...]:
    """Draw the tiers as rows; an empty end means that the last tier has none."""
    st.markdown(f"**{title_of(setting)}**: {setting.meaning}.")
    st.caption(
        "Each tier starts where the one before it ends. Leave the last “Part cost up to” empty. "
        "With no tier, parts take the target margin."
    )
    table = pd.DataFrame(
        [(None if edge == inf else edge, factor) for edge, factor in value],
        columns=["up_to", "factor"],
        dtype="float64",
    )
    edited = st.data_editor(
        table,
        num_rows="dynamic",
        hide_index=True,
        placeholder="no end",
        key=f"{key}_{setting.key}",
        column_config={
            "up_to": st.column_config.NumberColumn("Part cost up to", min_value=0.0),
            "factor": st.column_config.NumberColumn("Factor", min_value=1.0, max_value=20.0),
        },
    )
    rows = each_row(edited.dropna(how="all"))
    return tuple((inf if pd.isna(r.up_to) else float(r.up_to), float(r.factor)) for r in rows)
