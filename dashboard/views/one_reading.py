"""Calculator: one reading against its limits, with the arithmetic."""

import pandas as pd
import streamlit as st

from dashboard.readings import sentences as reading_words
from dashboard.text import format as words
from dashboard.ui import page

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

this = page.begin(TITLE)
limits = this.rows("limits")
points = limits.drop_duplicates("test_point")
points = points[points["quantity"] != "observation"].set_index("test_point")

left, right = st.columns(2)
with left:
    point = st.selectbox(
        "Test point",
        points.index.tolist(),
        format_func=lambda id_: this.labels.of("test_point", id_),
        key="point",
        bind="query-params",
    )
    asked = points.loc[point]
    sign = words.unit_sign(asked["unit"])
    is_open = st.toggle("The meter showed open (OL)", key="is_open", bind="query-params")
    value = st.number_input(
        f"Reading in {sign}" if sign else "Reading",
        value=None,
        format="%g",
        key="value",
        disabled=is_open,
        help="In this unit: 10.4 kΩ is 10400 Ω.",
    )
with right:
    unit_of_temperature = st.segmented_control(
        "Temperature in", ["°C", "°F"], default="°C", key="scale", required=True
    )
    ambient = st.number_input(
        "Temperature of the part, where noted", value=None, format="%g", key="ambient"
    )
    meter = st.selectbox(
        "Meter",
        this.rows("meters")["meter"].tolist(),
        format_func=lambda name: name.upper() if name else "an ordinary one",
        key="meter",
    )
    service = st.selectbox(
        "Supply",
        ["240", "208", "230"],
        format_func=lambda volts: {
            "240": "120/240 V",
            "208": "208Y/120 V",
            "230": "230 V",
        }[volts],
        key="service",
    )
of_point = limits[limits["test_point"] == point]
nameplate_unit = reading_words.nameplate_unit(of_point)
nameplate = (
    st.number_input(
        f"Nameplate in {words.unit_sign(nameplate_unit)}",
        value=None,
        min_value=0.0,
        format="%g",
        key="nameplate",
    )
    if nameplate_unit
    else None
)
types = reading_words.types_noted(of_point)
noted = (
    st.selectbox("Type, where noted", [ANY, *types], key="noted", format_func=lambda t: t or "?")
    if types
    else ANY
)
with st.expander("Which appliance (for the shop's own limits)"):
    kind = st.selectbox(
        "Kind",
        [ANY, *sorted(limits["kind"].dropna().unique())],
        format_func=lambda id_: this.labels.of("appliance_kind", id_) if id_ else "any",
        key="kind",
    )
    brand = st.text_input("Brand", key="brand")
    model = st.text_input("Model", key="model")


def celsius(value: float | None) -> float | None:
    """Return the noted temperature in degrees Celsius."""
    if value is None or unit_of_temperature == "°C":
        return value
    return (value - 32) / 1.8


def arithmetic(row: pd.Series) -> list[str]:
    """Write each step from the register's row to the decision."""
    unit = row.unit
    number = lambda value: words.significant(value, unit, 4)  # noqa: E731
    lines = [f"Limits used: **{row.limits_id}**."]
    if not words.is_missing(row.nameplate) and row.limit_basis in BY_NAMEPLATE:
        lines.append(f"{BY_NAMEPLATE[row.limit_basis]} {row.nameplate:g} {nameplate_unit}.")
    if row.low_ratio != 1 or row.high_ratio != 1:
        lines.append(
            f"Moved from {row.ref_temp_cel:g} °C to {celsius(ambient):.1f} °C by the law "
            f"{row.temp_model.replace('_', ' ')} ({row.temp_params}): "
            f"× {row.low_ratio:.4f} below, × {row.high_ratio:.4f} above."
        )
    lines.append(
        f"Inside: {reading_words.band(row.low, row.high, unit)}; outside: "
        f"{reading_words.beyond(row.fail_below, row.fail_above, unit)}."
    )
    if not words.is_missing(row.p_in):
        lead = row.lead_ohm if abs(value) < 200 else 0
        lines += [
            f"Meter: a = {row.accuracy_pct:g} % × {number(abs(value))} + {row.digits:g} × "
            f"{number(row.digit)}"
            + (f" + leads {lead:g} Ω" if lead else "")
            + f" = {number(row.half_width)}; u = a / √3 = {number(row.meter_u)}.",
            f"Probability that the true value is inside: {row.p_in:.1%}; that it is outside: "
            f"{row.p_out:.1%}. Decided at 95 %.",
        ]
    return lines


def show(row: pd.Series) -> None:
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
    st.markdown("\n".join(f"- {line}" for line in arithmetic(row)))
    trust = reading_words.TRUST.get(row.confidence, row.confidence)
    st.caption(f"{str(row.source_class).replace('_', ' ')}. {row.source or ''} Trust: {trust}.")
    if row.confidence == "weak":
        st.caption("A weak limit: a reason to look further, never alone a reason to order a part.")


page.show_cautions(*reading_words.caution_ids(asked, page.cautions()))
if value is None and not is_open:
    st.info("Enter what the meter said.")
else:
    show(
        this.rows(
            "judged_reading",
            test_point=point,
            value=None if is_open else value,
            is_open=is_open,
            ambient_cel=celsius(ambient),
            meter=meter,
            service_volts=service,
            nameplate=nameplate,
            kind=kind or None,
            brand=brand or None,
            model=model or None,
            nameplate_unit=nameplate_unit,
            noted=noted,
            read_on=this.dataset.as_of,
        ).iloc[0]
    )
page.show_cautions("limits", "one_reading", "local_law")
