"""One reading against its limits: the answer first, the arithmetic under Details."""

from dataclasses import dataclass
from typing import Any, Literal

import pandas as pd
import streamlit as st

from dashboard.readings import one_reading_sentences
from dashboard.readings import sentences as reading_words
from dashboard.rows import Row
from dashboard.text import format as words
from dashboard.text.cautions import cautions
from dashboard.text.escape_markdown import verbatim
from dashboard.ui import shell, widgets
from dashboard.ui.page import Page

BOXES = {"inside": st.success, "doubtful": st.warning, "outside": st.error, "none": st.info}
ANY = ""
IN_URL: Literal["query-params"] = "query-params"
SUPPLIES = {"240": "120/240 V", "208": "208Y/120 V", "230": "230 V"}


@dataclass(frozen=True)
class Entered:
    """One reading as entered, in the unit of its test point, with its conditions."""

    limit: pd.Series
    value: float | None
    is_open: bool
    ambient_cel: float | None
    meter: str
    service: str


def draw(page: Page) -> None:
    """Draw the page."""
    page.begin("What does this one reading say?")
    limits = page.rows("limits")
    answer = st.container()
    left, right = st.columns(2)
    with left:
        limit, value, is_open = choose_reading(page, limits)
    with right:
        ambient_cel, meter, service = choose_conditions(page)
    entered = Entered(limit, value, is_open, ambient_cel, meter, service)
    own = limits[limits["test_point"] == limit["test_point"]]
    nameplate = choose_nameplate(own)
    given = nameplate | choose_appliance(page, limits)
    with answer:
        if value is None and not is_open:
            st.info("Enter what the meter said.")
        else:
            show(page, judged(page, entered, given), entered, own, nameplate["nameplate_unit"])
        widgets.show_cautions(*reading_words.caution_ids(limit, cautions()))
    widgets.show_cautions("limits", "one_reading", "local_law")


def choose_reading(page: Page, limits: pd.DataFrame) -> tuple[pd.Series, float | None, bool]:
    """Let the reader choose the test point and enter what the meter showed."""
    points = limits.drop_duplicates("test_point")
    points = points[points["quantity"] != "observation"].set_index("test_point", drop=False)
    point = st.selectbox(
        "Test point",
        points.index.tolist(),
        index=points.index.tolist().index(most_measured(limits, points.index)),
        format_func=page.point_name,
        key="point",
        bind=IN_URL,
    )
    limit = points.loc[point]
    sign = words.unit_sign(limit["unit"])
    is_open = st.toggle("The meter showed open (OL)", key="is_open", bind=IN_URL)
    value = st.number_input(
        f"Reading in {sign}" if sign else "Reading",
        value=None,
        format="%g",
        key="value",
        bind=IN_URL,
        disabled=is_open,
        help="In this unit: 10.4 kΩ is 10400 Ω.",
    )
    return limit, None if value is None else words.as_stored(value, limit["unit"]), is_open


def most_measured(limits: pd.DataFrame, points: pd.Index) -> str:
    """Return the one of `points` whose limits judged most of the shop's readings."""
    readings = limits.groupby("test_point")["readings"].sum()
    return str(readings.reindex(points).idxmax())


def choose_conditions(page: Page) -> tuple[float | None, str, str]:
    """Let the reader enter temperature (returned in °C), meter and supply."""
    scale = st.segmented_control(
        "Temperature in",
        ["°F", "°C"],
        default=f"°{words.temperature_unit()}",
        key="scale",
        bind=IN_URL,
        required=True,
    )
    ambient = st.number_input(
        "Temperature of the part, where noted", value=None, format="%g", key="ambient", bind=IN_URL
    )
    if ambient is not None and scale == "°F":
        ambient = (ambient - 32) / 1.8
    meter = st.selectbox(
        "Meter",
        page.rows("meters")["meter"].tolist(),
        format_func=lambda name: name.upper() if name else "an ordinary one",
        key="meter",
        bind=IN_URL,
    )
    service = st.selectbox(
        "Supply", list(SUPPLIES), format_func=SUPPLIES.__getitem__, key="service", bind=IN_URL
    )
    return ambient, meter, service


def choose_nameplate(limits: pd.DataFrame) -> dict[str, Any]:
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
            bind=IN_URL,
        )
    types, noted = reading_words.types_noted(limits), ANY
    if types:
        noted = st.selectbox(
            "Type, where noted",
            [ANY, *types],
            key="noted",
            bind=IN_URL,
            format_func=lambda t: t or "not noted",
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
            bind=IN_URL,
        )
        brand = st.text_input("Brand", key="brand", bind=IN_URL)
        model = st.text_input("Model", key="model", bind=IN_URL)
    return {"kind": kind or None, "brand": brand or None, "model": model or None}


def judged(page: Page, entered: Entered, given: dict[str, Any]) -> pd.Series:
    """Return the decision on a reading with everything that it rests on."""
    return page.rows(
        "judged_reading",
        test_point=entered.limit["test_point"],
        value=None if entered.is_open else entered.value,
        is_open=entered.is_open,
        ambient_cel=entered.ambient_cel,
        meter=entered.meter,
        service_volts=entered.service,
        read_on=page.dataset.as_of,
        **given,
    ).iloc[0]


def show(
    page: Page, row: Row, entered: Entered, limits: pd.DataFrame, nameplate_unit: str | None
) -> None:
    """Show the answer, and under Details how it came about."""
    name = page.point_name(entered.limit["test_point"])
    value = None if entered.is_open else entered.value
    level, sentence = one_reading_sentences.answer(row, name, value)
    BOXES[level](sentence)
    if level in ("inside", "doubtful", "outside") and row.zone != row.decision:
        zone = reading_words.verdict_words(row.zone)
        st.caption(f"By the number alone: {zone}. The meter's error makes it doubtful.")
    if row.confidence == "weak":
        st.caption("A weak limit: a reason to look further, never alone a reason to order a part.")
    if words.is_missing(row.limits_id):
        return
    with st.expander("Details"):
        used = reading_words.applies(limits[limits["limits_id"] == row.limits_id].iloc[0])
        lines = one_reading_sentences.arithmetic(
            row, used, value, entered.ambient_cel, nameplate_unit
        )
        st.markdown("\n".join(f"- {verbatim(line)}" for line in lines))
        trust = reading_words.TRUST.get(row.confidence, row.confidence)
        source = verbatim(row.source or "")
        st.caption(f"{str(row.source_class).replace('_', ' ')}. {source} Trust: {trust}.")


if __name__ == "__main__":
    shell.show(draw)
