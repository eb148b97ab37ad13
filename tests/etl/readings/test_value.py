"""A written value becomes one reading, or a reason; expected values are arithmetic."""

import pytest

from etl.readings import parse_value

SLACK = 1e-12  # relative: one or two roundings of a float


@pytest.mark.parametrize(
    ("text", "value", "unit"),
    [
        ("9.4", 9.4, "Ohm"),
        ("9.4 Ω", 9.4, "Ohm"),
        ("9.4 ohms", 9.4, "Ohm"),
        ("12 ohm", 12, "Ohm"),  # a number and a short word is no date
        ("12 OHMS", 12, "Ohm"),
        (".3", 0.3, "Ohm"),
        ("10k", 10_000, "Ohm"),
        ("10.2 kΩ", 10_200, "Ohm"),
        ("550 M", 550e6, "Ohm"),
        ("2 megs", 2e6, "Ohm"),
        ("100 milliohm", 0.1, "Ohm"),
        ("5.5E+08", 5.5e8, "Ohm"),  # as a spreadsheet writes a large number
        ("+9.2 ohm", 9.2, "Ohm"),
        ("-0 ohm", 0, "Ohm"),
    ],
)
def test_a_resistance_is_read_in_ohm(text: str, value: float, unit: str) -> None:
    """Forms from the project's own records.md, section 3."""
    reading = parse_value(text, quantity="resistance")
    assert reading.value == pytest.approx(value, rel=SLACK)
    assert reading.unit == unit


@pytest.mark.parametrize(
    ("text", "ohm"),
    [("4R7", 4.7), ("1k2", 1200), ("9R4", 9.4), ("R47", 0.47), ("2M2", 2.2e6), ("1K5 ohm", 1500)],
)
def test_the_letter_stands_for_the_point(text: str, ohm: float) -> None:
    """IEC 60062: 4R7 = 4.7 ohm, 1K2 = 1.2 kilo-ohm, R47 = 0.47 ohm (as encyclopaedias quote it)."""
    reading = parse_value(text)
    assert (reading.outcome, reading.unit) == ("parsed", "Ohm")
    assert reading.value == pytest.approx(ohm, rel=SLACK)


def test_the_letter_notation_is_refused_where_volts_are_measured() -> None:
    assert parse_value("4R7", quantity="AC voltage").problem == "reading_unit_of_other_quantity"


@pytest.mark.parametrize(
    ("text", "decimal", "value", "flag"),
    [
        ("1,365", ".", 1365, "thousands"),
        ("1,365", ",", 1.365, None),
        ("1.365", ",", 1365, "thousands"),
        ("1.365", ".", 1.365, None),
        ("2,4", ".", 2.4, "other_decimal_mark"),
        ("2.4", ",", 2.4, "other_decimal_mark"),
        ("0,365", ".", 0.365, "other_decimal_mark"),  # no group of thousands begins with 0
        ("1,234,567.5", ".", 1_234_567.5, "thousands"),
        ("1.234.567,5", ",", 1_234_567.5, "thousands"),
    ],
)
def test_decimal_and_thousands_marks_are_read_as_declared(
    text: str, decimal: str, value: float, flag: str | None
) -> None:
    reading = parse_value(f"{text} ohm", decimal=decimal)
    assert reading.value == pytest.approx(value, rel=SLACK)
    assert reading.flags == ((flag,) if flag else ())


def test_an_undeclared_decimal_mark_is_an_error_of_the_mapping() -> None:
    with pytest.raises(ValueError, match="declare"):
        parse_value("1", decimal=";")


@pytest.mark.parametrize(
    "text",
    ["9.2 Ω", "9.2 Ω", "９．２ Ω", "9.2\u00a0Ω", "9.2\u2009ohm"],
    ids=["U+03A9", "U+2126", "full-width", "no-break blank", "thin blank"],
)
def test_every_form_of_ohm_and_digit_is_the_same_reading(text: str) -> None:
    assert parse_value(text).value == 9.2


@pytest.mark.parametrize(
    ("text", "same_as"),
    [
        ("45 \u00b5F", "45 uF"),
        ("45 \u03bcF", "45 uF"),
        ("72 \u00baF", "72 degF"),
        ("72 \u00b0F", "72 degF"),
        ("72\u2109", "72 degF"),
        ("3.5 \u201dwc", '3.5 "wc'),
        ("3.5\u2033 WC", '3.5" WC'),
        ("\u22125 \u00b0C", "-5 C"),
        ("\u221e", "OL"),
        ("5 mW/cm\u00b2", "5 mW/cm2"),
    ],
)
def test_unicode_variants_of_signs_are_the_same_reading(text: str, same_as: str) -> None:
    assert parse_value(text) == parse_value(same_as)
    assert parse_value(text).problem is None


@pytest.mark.parametrize(
    "text", ["OL", "O.L.", "0.L", "open", "∞", "no continuity", "OL MΩ", "inf"]
)
def test_over_limit_is_a_state_and_never_a_large_number(text: str) -> None:
    reading = parse_value(text, quantity="continuity")
    assert (reading.outcome, reading.is_open, reading.value) == ("qualitative", True, None)


@pytest.mark.parametrize("text", ["closed", "beep", "continuity", "cont good", "rings out"])
def test_a_beep_is_a_state_and_never_nought_ohm(text: str) -> None:
    reading = parse_value(text, quantity="continuity")
    assert (reading.outcome, reading.is_closed, reading.value) == ("qualitative", True, None)


@pytest.mark.parametrize(
    ("text", "comparator", "ohm"),
    [(">20M", ">", 20e6), ("<1 ohm", "<", 1), ("20M+", ">", 20e6), ("less than 1 ohm", "<", 1)],
)
def test_a_censored_reading_keeps_its_operator(text: str, comparator: str, ohm: float) -> None:
    reading = parse_value(text, quantity="resistance")
    assert (reading.comparator, reading.value) == (comparator, ohm)


@pytest.mark.parametrize("text", ["good", "bad", "in spec", "ohmed out fine", "checks good"])
def test_an_opinion_is_no_reading(text: str) -> None:
    reading = parse_value(text, quantity="resistance")
    assert (reading.outcome, reading.value, reading.is_closed) == ("verdict_only", None, False)


@pytest.mark.parametrize(
    ("text", "quantity"),
    [
        ("1e9 ohm", "resistance"),
        ("600 V", "AC voltage"),
        ("1112 F", "temperature"),
        ("500 uF", "capacitance"),
        ("0.1 uF", "capacitance"),
        ("-60 C", "temperature"),
    ],
)
def test_the_outermost_bounds_themselves_are_believable(text: str, quantity: str) -> None:
    """Bounds: sql/lookups/quantities.csv, common practice, no source."""
    assert parse_value(text, quantity=quantity).problem is None


def test_the_unit_in_the_text_wins_over_the_column() -> None:
    assert parse_value("10.4k", unit="Ohm", quantity="resistance").value == 10_400
    assert parse_value("10.4", unit="kΩ", quantity="resistance").value == 10_400


def test_a_unit_from_the_column_is_no_inference_but_the_usual_unit_is() -> None:
    declared = parse_value("9.2", unit="ohm", quantity="resistance")
    inferred = parse_value("9.2", quantity="resistance")
    assert (declared.outcome, declared.flags) == ("parsed", ())
    assert (inferred.outcome, inferred.flags) == ("parsed_with_inference", ("unit_inferred",))


def test_volts_at_a_point_of_alternating_voltage_say_that_this_was_inferred() -> None:
    assert parse_value("243 V", quantity="AC voltage").flags == ("ac_inferred",)
    assert parse_value("243 VAC", quantity="AC voltage").flags == ()


def test_a_day_number_with_a_declared_unit_is_kept_and_flagged() -> None:
    reading = parse_value("45148", unit="Ohm", quantity="resistance")
    assert (reading.value, reading.flags) == (45148, ("perhaps_a_date",))


def test_where_the_source_folds_case_milli_and_mega_are_ambiguous() -> None:
    assert parse_value("550M", fold_case=False).value == 550e6
    assert parse_value("550M", fold_case=True).problem == "reading_milli_or_mega"
    assert parse_value("550 MOHM", fold_case=True).problem == "reading_milli_or_mega"
    assert parse_value("550 MEGOHM", fold_case=True).value == 550e6
    assert parse_value("12 MV", fold_case=True).value == pytest.approx(0.012, rel=SLACK)
