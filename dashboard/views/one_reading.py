"""Calculator: one reading against its limits, with the arithmetic."""

from dataclasses import dataclass

import pandas as pd
import streamlit as st

from dashboard.readings import sentences as reading_words
from dashboard.text import format as words
from dashboard.text.cautions import cautions
from dashboard.ui import shell, widgets
from dashboard.ui.page import Page

TITLE = "What does this one reading say?"
VERDICTS = {
    "inside": (st.success, "Inside the limits."),
    "doubtful": (st.warning, "Doubtful: repeat the reading, note the temperature, isolate it."),
    "outside": (st.error, "Outside the limits: this reading condemns."),
}
ANY = ""
BY_NAMEPLATE = {
    "ratio_to_nameplate": "Times the nameplate of",
    "per_watt": "Divided by the nameplate of",
}
SUPPLIES = {"240": "120/240 V", "208": "208Y/120 V", "230": "230 V"}


@dataclass(frozen=True)
class Entered:
    """One reading as entered, in the unit of its test point, with its conditions."""

    point: str
    limit: pd.Series
    value: float | None
    is_open: bool
    ambient_cel: float | None
    meter: str
    service: str


def draw(page: Page) -> None:
    """Draw the page."""
    page.begin(TITLE)
    limits = page.rows("limits")
    left, right = st.columns(2)
    with left:
        point, limit, value, is_open = choose_reading(page, limits)
    with right:
        ambient_cel, meter, service = choose_conditions(page)
    entered = Entered(point, limit, value, is_open, ambient_cel, meter, service)
    nameplate = choose_nameplate(limits[limits["test_point"] == point])
    given = nameplate | choose_appliance(page, limits)
    widgets.show_cautions(*reading_words.caution_ids(limit, cautions()))
    if value is None and not is_open:
        st.info("Enter what the meter said.")
    else:
        show(judged(page, entered, given), entered, nameplate["nameplate_unit"])
    widgets.show_cautions("limits", "one_reading", "local_law")


def choose_reading(page: Page, limits: pd.DataFrame) -> tuple[str, pd.Series, float | None, bool]:
    """Let the reader choose the test point and enter what the meter showed."""
    points = limits.drop_duplicates("test_point")
    points = points[points["quantity"] != "observation"].set_index("test_point")
    point = st.selectbox(
        "Test point",
        points.index.tolist(),
        format_func=lambda id_: page.labels.of("test_point", id_),
        key="point",
        bind="query-params",
    )
    limit = points.loc[point].copy()
    limit["test_point"] = point
    sign = words.unit_sign(limit["unit"])
    is_open = st.toggle("The meter showed open (OL)", key="is_open", bind="query-params")
    value = st.number_input(
        f"Reading in {sign}" if sign else "Reading",
        value=None,
        format="%g",
        key="value",
        disabled=is_open,
        help="In this unit: 10.4 kΩ is 10400 Ω.",
    )
    return point, limit, value, is_open


def choose_conditions(page: Page) -> tuple[float | None, str, str]:
    """Let the reader enter temperature (returned in °C), meter and supply."""
    scale = st.segmented_control(
        "Temperature in", ["°C", "°F"], default="°C", key="scale", required=True
    )
    ambient = st.number_input(
        "Temperature of the part, where noted", value=None, format="%g", key="ambient"
    )
    if ambient is not None and scale == "°F":
        ambient = (ambient - 32) / 1.8
    meter = st.selectbox(
        "Meter",
        page.rows("meters")["meter"].tolist(),
        format_func=lambda name: name.upper() if name else "an ordinary one",
        key="meter",
    )
    service = st.selectbox("Supply", list(SUPPLIES), format_func=SUPPLIES.get, key="service")
    return ambient, meter, service


def choose_nameplate(limits: pd.DataFrame) -> dict[str, float | str | None]:
    """Let the reader enter nameplate and type where the limits of the test point go by them."""
    unit = reading_words.nameplate_unit(limits)
    nameplate = None
    if unit:
        nameplate = st.number_input(
            f"Nameplate in {words.unit_sign(unit)}",
            value=None,
            min_value=0.0,
            format="%g",
            key="nameplate",
        )
    types, noted = reading_words.types_noted(limits), ANY
    if types:
        noted = st.selectbox(
            "Type, where noted", [ANY, *types], key="noted", format_func=lambda t: t or "?"
        )
    return {"nameplate": nameplate, "nameplate_unit": unit, "noted": noted}


def choose_appliance(page: Page, limits: pd.DataFrame) -> dict[str, str | None]:
    """Let the reader name the appliance, for limits of the shop's own."""
    with st.expander("Which appliance (for the shop's own limits)"):
        kind = st.selectbox(
            "Kind",
            [ANY, *sorted(limits["kind"].dropna().unique())],
            format_func=lambda id_: page.labels.of("appliance_kind", id_) if id_ else "any",
            key="kind",
        )
        brand = st.text_input("Brand", key="brand")
        model = st.text_input("Model", key="model")
    return {"kind": kind or None, "brand": brand or None, "model": model or None}


def judged(page: Page, entered: Entered, given: dict[str, float | str | None]) -> pd.Series:
    """Return the decision on a reading with everything that it rests on."""
    return page.rows(
        "judged_reading",
        test_point=entered.point,
        value=None if entered.is_open else entered.value,
        is_open=entered.is_open,
        ambient_cel=entered.ambient_cel,
        meter=entered.meter,
        service_volts=entered.service,
        read_on=page.dataset.as_of,
        **given,
    ).iloc[0]


def arithmetic(row: pd.Series, entered: Entered, nameplate_unit: str | None) -> list[str]:
    """Write each step from the register's row to the decision."""
    unit = row.unit
    number = lambda value: words.significant(value, unit, 4)  # noqa: E731
    lines = [f"Limits used: **{row.limits_id}**."]
    if not words.is_missing(row.nameplate) and row.limit_basis in BY_NAMEPLATE:
        lines.append(f"{BY_NAMEPLATE[row.limit_basis]} {row.nameplate:g} {nameplate_unit}.")
    if row.low_ratio != 1 or row.high_ratio != 1:
        lines.append(
            f"Moved from {row.ref_temp_cel:g} °C to {entered.ambient_cel:.1f} "
            f"°C by the law {row.temp_model.replace('_', ' ')} ({row.temp_params}): × "
            f"{row.low_ratio:.4f} below, × {row.high_ratio:.4f} above."
        )
    lines.append(
        f"Inside: {reading_words.band(row.low, row.high, unit)}; outside: "
        f"{reading_words.beyond(row.fail_below, row.fail_above, unit)}."
    )
    if not words.is_missing(row.p_in):
        lead = row.lead_ohm if abs(entered.value) < 200 else 0
        lines += [
            f"Meter: a = {row.accuracy_pct:g} % × {number(abs(entered.value))} + {row.digits:g} × "
            f"{number(row.digit)}"
            + (f" + leads {lead:g} Ω" if lead else "")
            + f" = {number(row.half_width)}; u = a / √3 = {number(row.meter_u)}.",
            f"Probability that the true value is inside: {row.p_in:.1%}; that it is outside: "
            f"{row.p_out:.1%}. Decided at 95 %.",
        ]
    return lines


def show(row: pd.Series, entered: Entered, nameplate_unit: str | None) -> None:
    """Show the decision of one reading and how it came about."""
    if words.is_missing(row.limits_id):
        st.info(
            "No limits apply: the register has none for this case; add the shop's own limits in "
            "limits.csv."
        )
        return
    if words.is_missing(row.decision):
        st.info(
            "No verdict: "
            + (
                "this limit goes by the nameplate; enter it."
                if row.limit_basis in BY_NAMEPLATE
                else "the rule needs more than this one reading."
            )
        )
    elif row.decision == "note_type":
        st.info(f"No verdict: note the {row.to_note}. The limits differ by it.")
    else:
        box, text = VERDICTS[row.decision]
        box(text)
        if row.zone != row.decision:
            st.caption(f"By the number alone: {row.zone}. The meter's error makes it doubtful.")
    st.markdown("\n".join(f"- {line}" for line in arithmetic(row, entered, nameplate_unit)))
    trust = reading_words.TRUST.get(row.confidence, row.confidence)
    st.caption(f"{str(row.source_class).replace('_', ' ')}. {row.source or ''} Trust: {trust}.")
    if row.confidence == "weak":
        st.caption("A weak limit: a reason to look further, never alone a reason to order a part.")


if __name__ == "__main__":
    shell.show(draw)
