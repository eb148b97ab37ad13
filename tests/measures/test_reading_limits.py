"""Which limits hold for a reading: the shop's own, their days, the supply, the temperature."""

import math
from pathlib import Path

import pytest
from scipy.stats import norm

from dashboard.settings.file import SettingsError, for_load, read_settings
from etl.raw.own_limits import ShopTableError
from tests.measures.readings_drawn import judged

FOR_3600_W = pytest.approx(0.9 * 240**2 / 3600 / 1.05, rel=1e-3)  # Joule, V²/P, hot/cold 1.05
OWN = """test_point,kind,brand,model,low,high,valid_from,valid_to
bake_element_ohm,,,,1,2,,
bake_element_ohm,range_electric,,,3,4,,
bake_element_ohm,range_electric,Norvane,,5,6,,
bake_element_ohm,,,NX-200,7,8,,
"""


@pytest.mark.parametrize(
    ("kind", "brand", "model", "low"),
    [
        ("range_electric", "norvane", "nx 200", 7),  # the model says most
        ("range_electric", "Norvane", "other", 5),
        ("range_electric", "Pellworth", "", 3),
    ],
)
def test_the_most_specific_own_limit_holds(tmp_path: Path, kind, brand, model, low):
    rows = judged(
        tmp_path, ("bake_element_ohm", "9"), kind=kind, brand=brand, model=model, limits=OWN
    )
    assert rows["low"].tolist() == [low]
    assert rows["limits_id"].tolist()[0].startswith("own limits, line ")


def test_an_own_limit_for_any_appliance_beats_the_register(tmp_path: Path):
    limits = "test_point,low,high\nbake_element_ohm,9,12\n"
    rows = judged(tmp_path, ("bake_element_ohm", "11"), limits=limits)
    assert rows["zone"].tolist() == ["inside"]


def test_another_models_limit_does_not_hold(tmp_path: Path):
    limits = "test_point,model,low,high\nbake_element_ohm,NX-200,1,2\n"
    rows = judged(tmp_path, ("bake_element_ohm", "9"), model="NX-300", limits=limits)
    assert rows["low"].tolist() == [FOR_3600_W]


@pytest.mark.parametrize(
    ("start", "end", "low"),
    [
        # the job closed on 2026-03-02; both days belong to the period
        ("2026-03-02", "", 1),
        ("", "2026-03-02", 1),
        ("2026-03-03", "", FOR_3600_W),
        ("", "2026-03-01", FOR_3600_W),
    ],
)
def test_a_limit_holds_on_its_days_only(tmp_path: Path, start, end, low):
    limits = f"test_point,low,high,valid_from,valid_to\nbake_element_ohm,1,2,{start},{end}\n"
    rows = judged(tmp_path, ("bake_element_ohm", "9"), limits=limits)
    assert rows["low"].tolist() == [low]


def test_of_two_valid_limits_the_later_one_holds(tmp_path: Path):
    limits = (
        "test_point,low,high,valid_from\n"
        "bake_element_ohm,1,2,2025-01-01\nbake_element_ohm,3,4,2026-01-01\n"
    )
    rows = judged(tmp_path, ("bake_element_ohm", "9"), limits=limits)
    assert rows["low"].tolist() == [3]


@pytest.mark.parametrize(
    ("line", "message"),
    [
        ("bake_elemnt_ohm,1,2,,", "test point 'bake_elemnt_ohm' is not known"),
        ("bake_element_ohm,x,2,,", "column low is 'x'"),
        ("bake_element_ohm,3,2,,", "low 3 is above high 2"),
        ("bake_element_ohm,1,2,3 May,", "column valid_from is '3 May'"),
        ("bake_element_ohm,1,2,2026-05-01,2026-04-01", "is after valid_to"),
    ],
)
def test_an_unusable_line_is_reported_with_its_place(tmp_path: Path, line, message):
    limits = f"test_point,low,high,valid_from,valid_to\n{line}\n"
    with pytest.raises(ShopTableError, match=message) as error:
        judged(tmp_path, ("bake_element_ohm", "9"), limits=limits)
    assert str(error.value).startswith("limits.csv, line 2")


def test_an_unknown_column_is_reported(tmp_path: Path):
    with pytest.raises(ShopTableError, match="unknown column 'lower'"):
        judged(tmp_path, ("bake_element_ohm", "9"), limits="test_point,lower\nx,1\n")


# ANSI C84.1, 208Y/120 V: leg to leg 208 = 120 √3 (figures as utilities quote them)
SUPPLY_OF_208 = (("supply_l1_n_v", "120"), ("supply_l2_n_v", "120"), ("supply_l1_l2_v", "208"))


def test_208_volts_with_full_legs_is_no_fault(tmp_path: Path):
    rows = judged(tmp_path, *SUPPLY_OF_208, ("bake_output_v", "207"))
    assert rows["zone"].tolist() == ["inside"] * 4
    assert "208Y/120" in rows["limits_id"].tolist()[2]


def test_208_volts_with_low_legs_is_a_low_supply(tmp_path: Path):
    rows = judged(
        tmp_path, ("supply_l1_n_v", "104"), ("supply_l2_n_v", "104"), ("supply_l1_l2_v", "208")
    )
    assert rows["zone"].tolist() == ["doubtful"] * 3


def test_208_volts_alone_are_doubtful_never_outside(tmp_path: Path):
    assert judged(tmp_path, ("supply_l1_l2_v", "208"))["decision"].tolist() == ["doubtful"]


def test_a_lost_leg_is_not_taken_for_208_volt_service(tmp_path: Path):
    rows = judged(
        tmp_path, ("supply_l1_n_v", "120"), ("supply_l2_n_v", "120"), ("supply_l1_l2_v", "120")
    )
    assert rows["decision"].tolist()[2] == "outside"


def test_the_service_voltage_is_that_of_the_branch(tmp_path: Path):
    settings = for_load({"as_of": None, "service_volts": {"Mill Lane": 208}})
    at_mill = judged(tmp_path / "1", ("supply_l1_l2_v", "208"), settings=settings)
    elsewhere = judged(
        tmp_path / "2", ("supply_l1_l2_v", "208"), branch="Harbour Street", settings=settings
    )
    assert (at_mill["zone"].tolist(), elsewhere["zone"].tolist()) == (["inside"], ["doubtful"])


@pytest.mark.parametrize(("volts", "zone"), [(207, "inside"), (253, "inside"), (254, "outside")])
def test_230_volt_service_has_the_limits_of_iec_60038(tmp_path: Path, volts, zone):
    """IEC 60038: 230 V ± 10 % = 207 to 253 V (as an encyclopaedia quotes it)."""
    settings = for_load({"as_of": None, "service_volts": 230})
    rows = judged(tmp_path, ("supply_line_neutral_v", str(volts)), kind="washer", settings=settings)
    assert rows["zone"].tolist() == [zone]


def test_limits_made_for_120_volts_do_not_judge_at_230(tmp_path: Path):
    settings = for_load({"as_of": None, "service_volts": 230})
    rows = judged(tmp_path, ("washer_inlet_valve_v", "229"), kind="washer", settings=settings)
    assert rows["zone"].tolist() == ["inside"]
    assert rows["limits_id"].tolist() == ["washer_inlet_valve_v: 230 V service"]


def test_the_service_voltage_is_one_of_three(tmp_path: Path):
    (tmp_path / "ohmhours.toml").write_text('service_volts = { "Mill Lane" = 220 }\n')
    with pytest.raises(SettingsError, match="branch Mill Lane: key service_volts is 220"):
        read_settings(tmp_path)


def test_a_noted_temperature_moves_the_limits_of_a_thermistor(tmp_path: Path):
    """10.4 kOhm at 72 F, the register's narrow row ±10 % at 25 Cel, beta 3435 to 3977."""
    rows = judged(tmp_path, ("dryer_thermistor_ohm", "10.4k", 22.2), kind="dryer_electric")
    ratio = [math.exp(beta * (1 / (22.2 + 273.15) - 1 / 298.15)) for beta in (3435, 3977)]
    assert rows["low"].tolist() == pytest.approx([9000 * ratio[0]])
    assert rows["high"].tolist() == pytest.approx([11000 * ratio[1]])
    assert rows["zone"].tolist() == ["inside"]


def test_without_a_temperature_the_wide_limits_hold(tmp_path: Path):
    without = judged(tmp_path, ("dryer_thermistor_ohm", "14k"), kind="dryer_electric")
    assert without["zone"].tolist() == ["inside"]
    cooler = judged(tmp_path / "1", ("ac_thermistor_ohm", "14k"), kind="room_ac")
    assert cooler["zone"].tolist() == ["inside"]
    noted = judged(tmp_path / "2", ("dryer_thermistor_ohm", "14k", 25), kind="dryer_electric")
    assert noted["zone"].tolist() == ["doubtful"]


def test_a_platinum_sensor_is_judged_narrowly_in_a_room_only(tmp_path: Path):
    """IEC 60751: R(30)/R(20) = 1116.73/1077.94; above 30 Cel the oven is not cold: wide limits."""
    rows = judged(tmp_path, ("oven_sensor_ohm", "1117", 30), kind="range_electric")
    assert rows["low"].tolist() == pytest.approx([1052 * 1116.73 / 1077.94], rel=1e-5)
    warm = judged(tmp_path / "2", ("oven_sensor_ohm", "1117", 31), kind="range_electric")
    assert warm["low"].tolist() == [1052]


def test_copper_limits_rise_with_the_temperature(tmp_path: Path):
    """R(T) = R20 (1 + 0.00393 (T - 20)), IEC 60028 as quoted; the register's row is at 25 Cel."""
    rows = judged(tmp_path, ("washer_drain_pump_ohm", "20", 75), kind="washer")
    ratio = (1 + 0.00393 * 55) / (1 + 0.00393 * 5)
    assert rows["high"].tolist() == pytest.approx(
        [120 * ratio]
    )  # pump up to 120 ohm: maker's sheet, 106


def test_the_decision_allows_for_the_meter(tmp_path: Path):
    """1.8 ohm at a contact: a = 0.9 % + 2 digits of 0.1 + leads 0.3, u = a/√3; scipy's normal."""
    rows = judged(tmp_path, ("defrost_thermostat_cold", "1.8"), kind="refrigerator")
    u = (0.009 * 1.8 + 2 * 0.1 + 0.3) / math.sqrt(3)
    assert rows["p_in"].tolist() == pytest.approx([norm.cdf((2 - 1.8) / u)], abs=1e-7)
    assert (rows["zone"].tolist(), rows["decision"].tolist()) == (["inside"], ["doubtful"])


def test_a_better_meter_decides_more(tmp_path: Path):
    meters = (
        "meter,quantity,accuracy_pct,digits,resolution,counts,lead_ohm\n"
        "Bench,continuity,0.1,1,0.001,50000,0\n"
    )
    rows = judged(
        tmp_path,
        ("defrost_thermostat_cold", "1.8", "", "bench"),
        ("comp_overload", "1.8"),
        kind="refrigerator",
        meters=meters,
    )
    assert rows["decision"].tolist() == ["inside", "doubtful"]


def test_a_meter_without_its_accuracy_is_reported(tmp_path: Path):
    meters = "meter,quantity,accuracy_pct\nBench,continuity,\n"
    with pytest.raises(ShopTableError, match=r"meters.csv, line 2: column accuracy_pct is ''"):
        judged(tmp_path, ("oven_hi_limit", "1.8"), meters=meters)


def test_just_beyond_a_fail_limit_is_not_yet_surely_outside(tmp_path: Path):
    """10.1 ohm: beyond 10, but the meter may be off by 0.59 ohm; 12 ohm is beyond doubt."""
    rows = judged(
        tmp_path,
        ("defrost_thermostat_cold", "10.1"),
        ("comp_overload", "12"),
        kind="refrigerator",
    )
    assert rows["zone"].tolist() == ["outside", "outside"]
    assert rows["decision"].tolist() == ["doubtful", "outside"]
