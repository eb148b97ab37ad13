"""Names, prices, rates and plants of the second invented shop; all of it is invented."""

from datetime import date

PLANTS = ("technician", "meter", "part", "month", "missing", "price")
FIRST, DAYS = date(2024, 3, 1), 600
TECHNICIANS = ("Imre", "Jolan", "Kasimir", "Lenka", "Mirko")
WRONG_TECHNICIAN, OFF_METER = "Imre", "Jolan"
BAD_PART, MISSING_PART = "N-dishwasher-drain_pump-1", "N-washer-lid_lock-1"
BAD_MONTH = "2025-02"
LOW_PRICE = ("washer", "replace_suspension")
USUAL, BAD = 0.07, 0.34  # shares wrong and back, of everybody and of the plant
# kind, complaint: the two causes that can be behind it (cause, component, repair, minutes, part cost)
CAUSES = {
    ("freezer", "warm_freezer"): (
        ("evaporator_fan_failed", "evaporator_fan", "replace_evaporator_fan", 50, 60),
        ("cold_control_failed", "cold_control", "replace_cold_control", 35, 40),
    ),
    ("freezer", "wont_start"): (
        ("start_device_failed", "start_device", "replace_start_device", 30, 30),
        ("user_interface_failed", "user_interface", "replace_user_interface", 40, 90),
    ),
    ("dishwasher", "wont_drain"): (
        ("drain_pump_open", "drain_pump", "replace_drain_pump_dw", 55, 50),
        ("control_no_output", "control_board", "replace_control_dw", 45, 150),
    ),
    ("dishwasher", "wont_fill"): (
        ("inlet_valve_open", "water_inlet_valve", "replace_inlet_valve_dw", 35, 38),
        ("float_switch_stuck", "float_switch", "replace_float_switch_dw", 30, 22),
    ),
    ("dishwasher", "wont_dry"): (
        ("heating_element_open", "heating_element", "replace_heater_dw", 50, 50),
        ("thermistor_out_of_range", "thermistor", "replace_thermistor_dw", 30, 25),
    ),
    ("washer", "wont_spin"): (
        ("lid_lock_failed", "lid_lock", "replace_lid_switch_lock", 35, 45),
        ("suspension_worn", "suspension", "replace_suspension", 80, 70),
    ),
}
# a sound part's reading at the middle of what a meter should say, in ohms, and the part
SOUND = {
    "freezer": (("defrost_heater_ohm", 32.0, "defrost_heater"),),
    "dishwasher": (
        ("dw_drain_pump_ohm", 24.0, "drain_pump"),
        ("dw_inlet_valve_ohm", 960.0, "water_inlet_valve"),
        ("dw_element_ohm", 17.0, "heating_element"),
    ),
    "washer": (
        ("washer_inlet_valve_ohm", 900.0, "water_inlet_valve"),
        ("washer_drain_pump_ohm", 28.0, "drain_pump"),
    ),
}
