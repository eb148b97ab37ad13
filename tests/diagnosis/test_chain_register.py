"""The register of chains as a trade reader checks it: looks, supply, needs, hazards, weights."""

from collections import defaultdict

import pytest

import sql
from dashboard.text.cautions import cautions, of_hazards, of_kind

POINTS = {row["test_point"]: row for row in sql.lookup("test_points")}
CHAINS: dict[tuple[str, str], list[dict[str, str]]] = defaultdict(list)
for _row in sql.lookup("chains"):
    CHAINS[_row["kind"], _row["symptom"]].append(_row)
WEIGHTS: dict[tuple[str, str], dict[str, float]] = defaultdict(dict)
for _row in sql.lookup("chain_priors"):
    WEIGHTS[_row["kind"], _row["symptom"]][_row["cause"]] = float(_row["weight"])


def test_weights_of_each_chain_sum_to_one_and_name_known_causes():
    causes = {(row["kind"], row["cause"]) for row in sql.lookup("causes")}
    assert set(CHAINS) == set(WEIGHTS)
    for (kind, symptom), weights in WEIGHTS.items():
        assert sum(weights.values()) == pytest.approx(1, abs=1e-9), (kind, symptom)
        assert {(kind, cause) for cause in weights} <= causes


def test_no_chain_ends_with_the_supply():
    for key, tests in CHAINS.items():
        assert POINTS[tests[-1]["test_point"]]["component"] not in ("supply", "terminal_block"), key


def test_free_looks_and_the_supply_come_before_anything_is_opened():
    for key, tests in CHAINS.items():
        places = [n for n, test in enumerate(tests) if test["rule"] == "first"]
        assert places == list(range(len(places))), key
        for test in tests[: len(places)]:
            is_supply = POINTS[test["test_point"]]["component"] in ("supply", "terminal_block")
            assert (
                test["access_level"] == "none"
                or is_supply
                or test["access_level"] in ("front_grille",)
            ), (key, test["test_point"])


def test_a_dead_machine_is_checked_for_power_first():
    for (kind, symptom), tests in CHAINS.items():
        if "supply_no_power" in WEIGHTS[kind, symptom]:
            assert tests[0]["test_point"] == "power_on_check", (kind, symptom)


def test_a_test_comes_after_those_that_it_needs():
    needing = {point: row["needs"].split("|") for point, row in POINTS.items() if row["needs"]}
    assert needing["comp_r_s_ohm"] == ["comp_c_r_ohm", "comp_c_s_ohm"]
    for key, tests in CHAINS.items():
        order = [test["test_point"] for test in tests]
        for point in set(order) & set(needing):
            earlier = [order.index(need) for need in needing[point]]
            assert max(earlier) < order.index(point), key


def test_no_chain_proposes_a_high_voltage_test():
    named = {test["test_point"] for tests in CHAINS.values() for test in tests}
    assert not [point for point in named if POINTS[point]["is_proposed"] == "0"]
    assert {p for p in POINTS if p.startswith(("mw_hv_", "mw_magnetron"))} == {
        p for p, row in POINTS.items() if row["is_proposed"] == "0"
    }


@pytest.mark.parametrize(
    ("point", "hazards"),
    [
        # heater glowing, drum and blower running; the tap of a gas valve is opened (makers' manuals)
        ("dryer_heater_output_v", {"live", "hot", "moving"}),
        ("gas_manifold_pressure", {"gas_opened"}),
        ("gas_supply_pressure", {"gas_opened"}),
        # interlock and leakage test after door work: 21 CFR 1030.10 as a maker's manual quotes it
        ("mw_water_rise", {"radiation", "hot"}),
        ("mw_leakage", {"radiation"}),
        ("damper_check", {"live"}),
    ],
)
def test_hazards_of_a_test_and_their_cautions(point: str, hazards: set[str]):
    assert set(POINTS[point]["hazards"].split("|")) == hazards
    assert set(of_hazards([POINTS[point]["hazards"]])) == hazards & set(cautions())
    assert hazards <= set(cautions())


HEATING = {
    "heating_element", "bake_element", "broil_element", "convection_element", "surface_element",
    "defrost_heater", "igniter", "burner", "compressor",
}  # fmt: skip


def test_what_heats_is_announced_as_hot():
    """An element or a compressor dome burns after power is off (common practice, no source)."""
    for point, row in POINTS.items():
        is_inside = row["energised"] == "de_energised" and row["access_level"] != "none"
        if row["component"] in HEATING and is_inside:
            assert "hot" in row["hazards"].split("|"), point


def test_what_runs_with_a_cover_off_is_live():
    """Terminals are bare behind a cover; a gauge at an opened gas tap has its own caution."""
    for rows in (POINTS.values(), [row for tests in CHAINS.values() for row in tests]):
        for row in rows:
            is_open = row["access_level"] not in ("none", "pulled_out")
            if is_open and row["energised"] == "energised":
                assert {"live", "gas_opened"} & set(row["hazards"].split("|")), row["test_point"]


def test_chain_and_test_point_name_the_same_hazards():
    for key, tests in CHAINS.items():
        for test in tests:
            hazards = POINTS[test["test_point"]]["hazards"]
            assert test["hazards"] == hazards, (key, test["test_point"])


def test_the_outlet_of_a_range_is_behind_it_and_the_bracket_goes_back():
    """Anti-tip devices of ranges: UL 858 and ANSI Z21.1 (from memory)."""
    for (kind, _), tests in CHAINS.items():
        if kind.startswith("range"):
            supply = [t for t in tests if t["test_point"] == "supply_l1_l2_v"]
            assert all(test["access_level"] == "pulled_out" for test in supply)
    nodes = {(r["kind"], r["access_level"]): r["label"] for r in sql.lookup("teardown")}
    for (kind, level), label in nodes.items():
        if kind.startswith("range") and level == "pulled_out":
            assert "anti-tip" in label, kind


def test_a_gas_dryer_has_no_heater_at_the_rear():
    labels = [r["label"] for r in sql.lookup("teardown") if r["kind"] == "dryer_gas"]
    assert not [label for label in labels if "heater" in label and "behind" not in label]


def test_water_comes_out_before_a_machine_is_tilted():
    """Washer safety pages: never powered when laid down, no water in it (washerhelp.co.uk)."""
    water = cautions()["water"][1]
    assert "bail out or drain" in water and "tilted" in water
    for point, row in POINTS.items():
        if row["access_level"] == "underside":
            assert row["energised"] == "de_energised", point


def test_no_label_of_a_cause_contradicts_a_complaint_that_lists_it():
    """A fan that is heard turns; a seized motor does not run (common practice, no source)."""
    causes = {(row["kind"], row["cause"]): row["label"] for row in sql.lookup("causes")}
    complaints = {(row["kind"], row["symptom"]): row["label"] for row in sql.lookup("symptoms")}
    for (kind, symptom), weights in WEIGHTS.items():
        named = " ".join(causes[kind, cause] for cause in weights)
        assert symptom != "noisy" or "does not turn" not in named, kind
        runs = "motor runs" in complaints[kind, symptom].lower()
        assert not runs or "motor seized" not in named.lower(), kind


def test_work_on_a_microwave_door_ends_with_a_leakage_survey():
    """21 CFR 1030.10 as a maker's manual quotes it: interlock and leakage test after door work."""
    checks = {
        (row["symptom"], row["cause"])
        for row in sql.lookup("before_closing")
        if row["kind"] == "microwave" and row["test_point"] == "mw_leakage"
    }
    doors = {"interlock_switch_failed", "door_latch_broken"}
    wanted = {
        (symptom, cause)
        for (kind, symptom), weights in WEIGHTS.items()
        if kind == "microwave"
        for cause in doors & set(weights)
    }
    assert wanted and checks == wanted


def test_a_live_pump_test_is_made_with_the_machine_stopped():
    """Never powered while laid back with water in it: washer safety pages (washerhelp.co.uk)."""
    assert POINTS["washer_drain_pump_v"]["access_level"] == "console"


def test_kinds_carry_their_own_cautions():
    assert of_kind("microwave") == ("radiation", "stored_energy", "high_voltage")
    assert "gas" in of_kind("range_dual_fuel")
    assert "refrigerant" in of_kind("dryer_heat_pump")
    assert of_kind("washer") == () and of_kind("no such kind") == ()


@pytest.mark.parametrize(
    ("word", "kind"),
    [
        ("washer", "washer"),
        ("top load washer", "washer_top"),
        ("front loader", "washer_front"),
        ("heat pump dryer", "dryer_heat_pump"),
        ("ventless dryer", "dryer_condenser"),
        ("washer-dryer", "washer_dryer"),
        ("dual fuel range", "range_dual_fuel"),
        ("cooker", "range"),
        ("hob", "cooktop"),
        ("induction cooktop", "cooktop_induction"),
        ("fridge freezer", "refrigerator"),
        ("garbage disposal", "disposer"),
        ("range hood", "hood"),
        ("ice machine", "ice_machine"),
        ("beverage cooler", "wine_cooler"),
        ("dehumidifier", "dehumidifier"),
        ("water heater", "water_heater"),
        ("trash compactor", "other_appliance"),
    ],
)
def test_every_kind_word_is_understood(word: str, kind: str):
    found = {row["kind"] for row in sql.lookup("kinds") if word in row["synonyms"].split("|")}
    assert found == {kind}


def test_every_kind_has_complaints_causes_and_a_teardown_tree():
    for row in sql.lookup("kinds"):
        for name, least in (("symptoms", 8), ("causes", 10), ("teardown", 1)):
            rows = [each for each in sql.lookup(name) if each["kind"] == row["kind"]]
            assert len(rows) >= least, (row["kind"], name)


def test_a_word_means_one_complaint_and_one_cause_within_a_kind():
    for name, id_ in (("symptoms", "symptom"), ("causes", "cause")):
        meanings = defaultdict(set)
        for row in sql.lookup(name):
            for word in row["synonyms"].split("|"):
                meanings[row["kind"], word.lower()].add(row[id_])
        doubles = {word: ids for word, ids in meanings.items() if len(ids) > 1}
        assert not doubles, name


def test_the_dryer_leads_no_list():
    for name in ("kinds", "chains", "chain_priors", "cause_test_matrix", "before_closing"):
        kinds = list(dict.fromkeys(row["kind"] for row in sql.lookup(name)))
        assert not any(kind.startswith("dryer") for kind in kinds[:2]), name
    assert next(iter(CHAINS)) == ("refrigerator", "warm_fresh_food")


def test_every_test_has_a_trade_name_and_every_look_says_what_is_good():
    for point, row in POINTS.items():
        assert row["label"][0].isupper() and "_" not in row["label"], point
        assert row["good"] or row["quantity"] != "observation", point
    for kind in {kind for kind, _ in CHAINS}:
        named = [
            POINTS[test["test_point"]]["label"]
            for key, tests in CHAINS.items()
            for test in tests
            if key[0] == kind
        ]
        points = {
            test["test_point"] for key, tests in CHAINS.items() for test in tests if key[0] == kind
        }
        assert len(set(named)) == len(points), kind
