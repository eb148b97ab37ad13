"""Notes with several readings: what is taken, what is refused, what stays unread."""

import time

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from etl.readings import parse_note
from etl.readings.lookups import rows
from etl.readings.vocabulary import vocabulary

KINDS = [row["kind"] for row in rows("kinds")]


def _read(text: str, kind: str = "dryer_electric", **setting: str) -> list[tuple]:
    """(test point, number or state or problem) of each reading."""
    return [
        (
            reading.test_point,
            reading.value.problem
            or ("open" if reading.value.is_open else "closed" if reading.value.is_closed else None)
            or reading.value.value,
        )
        for reading in parse_note(text, kind=kind, **setting).readings
    ]


def test_a_note_of_four_sentences_gives_its_four_readings() -> None:
    note = (
        "Customer states dryer not heating. Found TF open, replaced thermal fuse. Vent blocked. "
        "elem 9.2 ohms, hi-limit closed; L1-L2 243v"
    )
    assert _read(note) == [
        ("dryer_thermal_fuse", "open"),
        ("dryer_element_ohm", 9.2),
        ("dryer_hi_limit", "closed"),
        ("supply_l1_l2_v", 243),
    ]


@pytest.mark.parametrize(
    "note",
    [
        "TF OL hi-limit OL elem 9.2",
        "OL TF OL hi-limit 9.2 elem",
        "TF: OL, hi limit: OL, element = 9.2",
        "TF - OL; hilimit - OL; ele - 9.2 ohm",
        "tf OL\nhi-limit OL\nhtr reads 9.2Ω",
        "found OL on TF, OL on hi limit, elem tested 9.2 ohms",
    ],
)
def test_the_order_and_the_marks_do_not_matter_where_each_has_its_own(note: str) -> None:
    assert sorted(map(str, _read(note))) == sorted(
        map(
            str,
            [
                ("dryer_thermal_fuse", "open"),
                ("dryer_hi_limit", "open"),
                ("dryer_element_ohm", 9.2),
            ],
        )
    )


@pytest.mark.parametrize(
    ("note", "readings"),
    [
        ("elem OL to ground", [("dryer_element_to_chassis", "open")]),
        ("OL elem to gnd", [("dryer_element_to_chassis", "open")]),
        (
            "elem 9.2 to ground OL",
            [("dryer_element_ohm", 9.2), ("dryer_element_to_chassis", "open")],
        ),
        ("elem to case shorted", [("dryer_element_to_chassis", "closed")]),
        ("TF 0.2 ohm to ground", [(None, 0.2)]),
    ],
)
def test_to_ground_is_another_point_than_across_the_part(note: str, readings: list) -> None:
    assert _read(note) == readings


@pytest.mark.parametrize(
    ("note", "readings"),
    [
        ("dr sw closed .3 ohm", [("dryer_door_switch_closed", 0.3)]),
        ("door switch .2 ohm released", [("dryer_door_switch_open", 0.2)]),
        ("dr sw open OL", [("dryer_door_switch_open", "open")]),
        ("dr sw OL", [(None, "open")]),
        ("bars OL", [(None, "open")]),
        ("bars dry OL", [("dryer_moisture_bars_dry", "open")]),
        ("hi-limit OL hot", [(None, "open")]),
        ("motor sw OL at rest", [("dryer_centrifugal_heat_contact_rest", "open")]),
    ],
)
def test_where_the_state_decides_it_must_be_written(note: str, readings: list) -> None:
    assert _read(note) == readings


@pytest.mark.parametrize(
    ("note", "point"),
    [
        ("bimetal OL @ 70F", "defrost_thermostat_warm"),
        ("bimetal OL @ 5F", "defrost_thermostat_cold"),
        ("bimetal OL @ 32F", None),
        ("bimetal OL warm", "defrost_thermostat_warm"),
    ],
)
def test_a_noted_temperature_names_the_state_of_the_defrost_thermostat(note, point) -> None:
    """States as in tolerances.csv: cold below -9 Cel (15 F), warm above 16 Cel (60 F)."""
    assert _read(note, "refrigerator") == [(point, "open")]


@pytest.mark.parametrize(
    "note",
    [
        "replaced element 279838",
        "replaced heating element 2 screws missing",
        "replaced belt 2 hrs",
        "Cust called 555-123-4567, arrived 9:15",
        "ordered 2x element",
        "paid $145",
        "unplugged 3 times",
        "element not open",
        "no short to ground",
        "TF should be .2 ohm",
        "suspect TF open",
        "new elem 9.2 ohm",
        "door open when I came, closed it",
    ],
)
def test_prose_and_numbers_of_other_things_are_no_readings(note: str) -> None:
    assert _read(note) == []


def test_a_reading_after_two_parts_is_taken_for_the_nearer_and_counted_as_not_all_read() -> None:
    note = parse_note("TF and hi-limit OL", kind="dryer_electric")
    assert [reading.test_point for reading in note.readings] == ["dryer_hi_limit"]
    assert note.unread == ("TF and hi limit OL",)


def test_a_part_before_an_unknown_word_takes_no_reading() -> None:
    assert _read("elem 9.2 ohms vent clogged up") == [("dryer_element_ohm", 9.2)]


@pytest.mark.parametrize("note", ["ff 41F/fz 14F", "ff 41F fz 14F", "41F ff, 14F fz"])
def test_two_temperatures_with_their_units_are_two_readings(note: str) -> None:
    """41 F = 5 Cel, 14 F = -10 Cel: (41 - 32) / 1.8 and (14 - 32) / 1.8."""
    assert _read(note, "refrigerator") == [("ff_temp", 5), ("fz_temp", -10)]


def test_what_is_not_understood_stays_unread_and_is_returned() -> None:
    note = parse_note(
        "elem 9.2, foo 17 bar, belt worn 1/2 through, all done", kind="dryer_electric"
    )
    assert len(note.readings) == 1
    assert note.unread == ("foo 17 bar", "belt worn 1/2 through")


@pytest.mark.parametrize(
    ("note", "problem"),
    [
        ("elem 279838", "reading_unit_missing"),
        ("elem 118", "reading_unit_missing"),
        ("elem 9.2 9.3", "reading_several_numbers"),
        ("elem 9.2 / 9.3", "reading_several_numbers"),
        ("elem 9.2?", "reading_doubtful"),
        ("elem 550m", "reading_milli_or_mega"),
        ("elem -5 ohm", "reading_negative"),
        ("exhaust temp 150", "reading_unit_missing"),
        ("120v at outlet", "reading_point_unknown"),
    ],
)
def test_a_reading_that_could_be_two_things_is_refused(note: str, problem: str) -> None:
    assert [found for _, found in _read(note)] == [problem]


def test_a_point_is_never_chosen_because_the_value_then_fits() -> None:
    """One sentence, values from sound to hopeless: the place and the unit stay the same."""
    for ohm in (0, 0.5, 4, 9.2, 40, 99, 300, 9999):
        assert _read(f"elem {ohm}") == [("dryer_element_ohm", ohm)]
    for ohm in (0.01, 1, 90, 4000):
        assert _read(f"coil {ohm} ohm", "dryer_gas") == [(None, ohm)]
    for volt in (0.5, 60, 121, 240):
        assert _read(f"L1 {volt}") == [("supply_l1_n_v", volt)]


def test_a_bare_temperature_needs_the_setting_of_the_file() -> None:
    assert _read("fz 2", "refrigerator") == [(None, "reading_unit_missing")]
    assert _read("fz 2", "refrigerator", temperature_unit="C") == [("fz_temp", 2)]
    assert _read("fz -2C", "refrigerator", temperature_unit="F") == [("fz_temp", -2)]


@pytest.mark.parametrize(("note", "count"), [("121/122/243", 3), ("121/122/208", 0), ("5/3/8", 0)])
def test_three_voltages_are_taken_only_where_two_legs_add_up(note: str, count: int) -> None:
    readings = parse_note(note, kind="range_electric").readings
    assert len([reading for reading in readings if reading.test_point]) == count


def test_a_word_that_fits_several_parts_names_none() -> None:
    assert _read("thermostat OL") == [(None, "open")]
    assert _read("elem 18 ohm", "range_electric") == [(None, 18)]


def test_an_unknown_kind_has_readings_but_no_points() -> None:
    for kind in ("", "dryer", "toaster"):
        assert _read("elem 9.2 ohm", kind) == [(None, 9.2)]


def test_an_empty_note_has_nothing() -> None:
    note = parse_note("  \n ", kind="dryer_electric")
    assert (note.readings, note.unread) == ((), ())


def test_decimal_commas_and_folded_case_are_read_as_declared() -> None:
    assert _read("elem 9,2, TF ,1 ohm", decimal=",") == [
        ("dryer_element_ohm", 9.2),
        ("dryer_thermal_fuse", 0.1),
    ]
    folded = parse_note("MEGS TO GND 550M", kind="dryer_electric", fold_case=True)
    assert [r.value.problem for r in folded.readings] == ["reading_milli_or_mega"]


@pytest.mark.parametrize("kind", [kind for kind in KINDS if vocabulary(kind).points])
def test_every_test_point_can_be_named_by_its_first_words(kind: str) -> None:
    """Each point with a number is reached by at least one of its synonyms, written with its unit."""
    unreached = []
    for row in rows("test_points"):
        if kind not in row["kinds"].split("|") or row["quantity"] == "observation":
            continue
        number = (
            {"V": "209 V", "MOhm": "5 megs", "Cel": "20 C", "K": "9 C", "%": "5 %"}.get(
                row["unit_ucum"], f"3 {row['unit_ucum']}"
            )
            .replace("[in_i'H2O]", "wc")
            .replace("mA", "ma")
            .replace("3 ma", "0.3 ma")
        )
        points = {
            reading.test_point
            for words in row["synonyms"].split("|")
            for reading in parse_note(f"{words} {number}", kind=kind).readings
        }
        if row["test_point"] not in points:
            unreached.append(row["test_point"])
    assert unreached == []


PIECES = st.sampled_from(
    [
        "elem",
        "OL",
        "9.2",
        "ohm",
        "TF",
        "to ground",
        "(",
        ")",
        "@",
        "72F",
        "/",
        "-",
        ",",
        ". ",
        "8-10",
        "hot",
        "shut",
        "L1",
        "243v",
        "good",
        "bad",
        "1k2",
        ">20M",
        "45/5",
        "reads",
        "\n",
        "?",
        "°",
        "ret",
    ]
)


@settings(max_examples=150, deadline=None)
@given(
    st.text() | st.lists(PIECES, max_size=14).map(" ".join),
    st.sampled_from([*KINDS, ""]),
    st.booleans(),
)
def test_no_note_raises_and_every_reading_is_whole(text: str, kind: str, fold_case: bool) -> None:
    codes = {row["code"] for row in rows("problem_codes_readings")}
    points = vocabulary(kind).points
    for reading in parse_note(text, kind=kind, fold_case=fold_case).readings:
        assert reading.test_point is None or reading.test_point in points
        assert (reading.value.problem in codes) == (reading.value.outcome == "refused")
        assert reading.value.problem is None or reading.test_point is None


@pytest.mark.parametrize(
    "piece", ["9", "9,", "9/", "<", "( ", "elem ", "elem 9 ", "TF OL ", "1k", "- ", "1\n", "@ 7F "]
)
def test_a_very_long_note_takes_time_in_proportion(piece: str) -> None:
    """Under 3 s for 100,000 characters on a busy machine; a quadratic pattern takes minutes."""
    started = time.perf_counter()
    parse_note(piece * (100_000 // len(piece)), kind="dryer_electric")
    assert time.perf_counter() - started < 3
