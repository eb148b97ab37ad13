"""What one reading says: zones and their edges, open, near zero, ghosts, more-than, windings."""

from pathlib import Path

import pytest

from tests.ask import measure
from tests.measures.readings_drawn import judged

VERDICTS = [
    # a contact: sound below 0.1 ohm, 2 ohm with leads and meter error, doubtful to 10 ohm (derived
    # in the register's own note from lead resistance 0.2-0.5 ohm; the value 10: common practice)
    ("oven_hi_limit", "0.2", "inside"),
    ("oven_hi_limit", "2", "inside"),
    ("oven_hi_limit", "2.1", "doubtful"),
    ("oven_hi_limit", "10", "doubtful"),
    ("oven_hi_limit", "10.1", "outside"),
    ("oven_hi_limit", "OL", "outside"),
    ("oven_hi_limit", "closed", "inside"),
    # open is a pass from element to chassis
    ("bake_element_to_chassis", "OL", "inside"),
    ("bake_element_to_chassis", "closed", "outside"),
    ("bake_element_to_chassis", "0", "outside"),
    ("bake_element_to_chassis", "500k", "doubtful"),
    ("bake_element_to_chassis", "99k", "outside"),
    # about nought has the point's own verdict: no volts at a heater point to what is before it
    ("bake_output_v", "0", "doubtful"),
    ("bake_output_v", "120", "outside"),
    # tens of volts on a dead wire (a high-impedance meter, as electricians' texts say)
    ("bake_output_v", "20", "doubtful"),
    ("bake_output_v", "90", "doubtful"),
    ("bake_output_v", "19", "outside"),
    ("bake_output_v", "91", "outside"),
    ("supply_l1_n_v", "45", "doubtful"),
    # more than, less than: judged on the side that is certain
    ("bake_element_to_chassis", ">20M", "inside"),
    ("bake_element_to_chassis", "<20k", "outside"),
    ("bake_element_to_chassis", ">200k", None),
    ("bake_element_to_chassis", "<20M", None),
    ("oven_hi_limit", "<1", "inside"),
    ("oven_hi_limit", "<5", None),
    ("oven_hi_limit", ">10", "outside"),
    ("oven_hi_limit", ">5", None),
]


def test_every_verdict_rule_and_its_edges(tmp_path: Path):
    points = {point for point, _, _ in VERDICTS}
    for number in range(max(sum(p == point for p, _, _ in VERDICTS) for point in points)):
        chosen = [
            [v for v in VERDICTS if v[0] == point][number]
            for point in sorted(points)
            if sum(p == point for p, _, _ in VERDICTS) > number
        ]
        rows = judged(tmp_path / str(number), *[(point, value) for point, value, _ in chosen])
        found = [None if zone != zone else zone for zone in rows["zone"]]
        assert found == [zone for _, _, zone in chosen], chosen


def test_open_at_rest_and_the_word_of_what_was_seen(tmp_path: Path):
    """Open is a pass at a contact at rest and at a dry sensor bar; a look is what was written."""
    rows = judged(
        tmp_path,
        ("vent_airflow_check", "blocked"),
        ("dryer_centrifugal_heat_contact_rest", "OL"),
        ("dryer_moisture_bars_dry", "OL"),
        kind="dryer_electric",
    )
    assert rows["zone"].tolist() == ["outside", "inside", "inside"]


def test_a_weak_limit_gives_a_zone_but_never_a_share(tmp_path: Path):
    """1 to 8 ohm for a compressor's run winding: common practice, no source."""
    rows = judged(tmp_path, ("comp_c_r_ohm", "9"), kind="refrigerator")
    assert rows["zone"].tolist() == ["doubtful"]
    (row,) = measure(tmp_path / "db", "reading_distribution").itertuples()
    assert row.judged == 0
    assert row.share_doubtful != row.share_doubtful  # NULL


def test_readings_known_only_as_more_than_are_never_averaged(tmp_path: Path):
    judged(tmp_path, ("bake_element_to_chassis", ">20M"), ("bake_element_to_chassis", "30M"))
    (row,) = measure(tmp_path / "db", "reading_distribution").itertuples()
    assert (row.n, row.censored, row.p50) == (1, 1, 30e6)
    assert row.share_inside == 1


@pytest.mark.parametrize(
    ("run_ohm", "start_ohm", "both_ohm", "zone"),
    [
        # two windings in series: R-S = C-R + C-S less one lead of 0.3 ohm; slack max(0.5, 10 %)
        ("2.4", "5.3", "7.4", "inside"),
        ("2.4", "5.3", "8.2", "inside"),  # 7.4 + 0.82 = 8.22
        ("2.4", "5.3", "8.3", "doubtful"),  # 7.4 + 0.83 = 8.23: the sum no longer holds
        ("2.4", "5.3", "3.0", "doubtful"),  # never outside: a misread terminal looks like this
        ("OL", "OL", "7.4", None),  # the overload in the common leg is open: let it cool
        ("2.4", "5.3", "OL", "outside"),
    ],
)
def test_three_windings_must_add_up(tmp_path, run_ohm, start_ohm, both_ohm, zone):
    rows = judged(
        tmp_path,
        ("comp_c_r_ohm", run_ohm),
        ("comp_c_s_ohm", start_ohm),
        ("comp_r_s_ohm", both_ohm),
        kind="refrigerator",
    )
    found = rows["zone"].tolist()[-1]
    assert (None if found != found else found) == zone


def test_an_open_overload_condemns_no_winding(tmp_path: Path):
    """C-R and C-S open, R-S not: the overload in the common leg (refrigeration training texts)."""
    rows = judged(
        tmp_path,
        ("comp_c_r_ohm", "OL"),
        ("comp_c_s_ohm", "OL"),
        ("comp_r_s_ohm", "7.4"),
        kind="refrigerator",
    )
    assert rows["zone"].tolist()[:2] == ["doubtful", "doubtful"]


def test_an_open_winding_is_outside(tmp_path: Path):
    rows = judged(tmp_path, ("comp_c_r_ohm", "OL"), ("comp_c_s_ohm", "5.3"), kind="refrigerator")
    assert rows["zone"].tolist()[0] == "outside"


def test_without_all_three_windings_the_sum_says_nothing(tmp_path: Path):
    rows = judged(tmp_path, ("comp_c_r_ohm", "2.4"), ("comp_r_s_ohm", "7.4"), kind="refrigerator")
    assert rows["zone"].isna().tolist() == [False, True]


def test_a_capacitor_needs_its_nameplate(tmp_path: Path):
    """Run capacitors are marked ±5, 6 or 10 %: forum texts, as the register's source says."""
    rows = judged(tmp_path, ("ac_run_capacitor_uf", "44 uF"), kind="room_ac")
    assert rows["zone"].isna().all()


def test_with_a_nameplate_of_its_model_it_is_judged(tmp_path: Path):
    limits = (
        "test_point,model,limit_basis,low,high,fail_below,fail_above,nameplate\n"
        "ac_run_capacitor_uf,QX-9,ratio_to_nameplate,0.94,1.06,0.9,1.1,45\n"
    )
    rows = judged(
        tmp_path, ("ac_run_capacitor_uf", "44 uF"), kind="room_ac", model="qx 9", limits=limits
    )
    assert rows["low"].tolist() == pytest.approx([0.94 * 45])
    assert rows["high"].tolist() == pytest.approx([1.06 * 45])
    assert rows["zone"].tolist() == ["inside"]
    (row,) = measure(tmp_path / "db", "reading_distribution").itertuples()
    assert row.judged == 0  # a ratio is never mixed into a share
