"""Who is a callback of whom, and who is counted: the cases in which rates go wrong."""

from pathlib import Path

from tests.ask import measure, run
from tests.shop_builder import shop

JOB = "job_id | opened_on | closed_on | appliance_kind | symptom | disposition | customer"
CAUSE = JOB + " | root_cause"
LATER = "END | 2026-06-01 | 2026-06-01 | washer | leaks | cancelled | somebody"


def links(folder: Path, *names: str) -> dict[str, str | None]:
    """Return for each job the one that it returns to."""
    callbacks = run(folder, "pages/jobs").dropna(subset="callback_job")
    returned_to = dict(zip(callbacks["callback_job"], callbacks["job_id"], strict=True))
    return {name: returned_to.get(name) for name in names}


def test_a_written_link_does_not_bring_unknown_units_into_a_rate(tmp_path: Path):
    head = JOB + " | callback_of | visit_count"
    drawn = "\n".join(
        f"{n} | 2026-01-{n:02} | 2026-01-{n:02} | washer | leaks | repaired |  |  | 1"
        for n in range(1, 11)
    )
    back = "11 | 2026-01-12 | 2026-01-12 | washer | leaks | repaired |  | 3 | 1"
    folder = shop(tmp_path, jobs="\n".join([head, drawn, back, LATER + " |  |"]))
    fixed = measure(folder, "first_time_fix", window_days=30).iloc[0]
    assert (fixed.repaired, fixed.mature, fixed.left_out) == (11, 0, 11)
    rate = measure(folder, "callbacks", window_days=30).iloc[0]
    assert (rate.mature, rate.callbacks_in_window) == (0, 0)
    assert (rate.unlinked, rate.known_returns) == (11, 1)
    assert measure(folder, "callback_curve").empty


def test_of_two_tickets_of_one_day_only_the_later_number_is_a_return(tmp_path: Path):
    day = "2026-01-05 | 2026-01-05 | washer | leaks | repaired | one"
    folder = shop(tmp_path, jobs=f"{JOB}\n10 | {day}\n9 | {day}\n{LATER}")
    assert links(folder, "9", "10") == {"9": None, "10": "9"}
    rate = measure(folder, "callbacks", window_days=30).iloc[0]
    assert (rate.mature, rate.callbacks_in_window) == (2, 1)


def test_the_hour_of_opening_goes_before_the_number(tmp_path: Path):
    rest = "2026-01-05 | washer | leaks | repaired | one"
    early, late = f"10 | 2026-01-05 08:15 | {rest}", f"9 | 2026-01-05 14:30 | {rest}"
    folder = shop(tmp_path, jobs=f"{JOB}\n{late}\n{early}\n{LATER}")
    assert links(folder, "9", "10") == {"9": "10", "10": None}


def test_a_written_link_of_one_day_holds_against_the_numbers(tmp_path: Path):
    day = "2026-01-05 | 2026-01-05 | washer | leaks | repaired | one"
    head = JOB + " | callback_of"
    folder = shop(tmp_path, jobs=f"{head}\n5 | {day} | 6\n6 | {day} |\n{LATER} |")
    assert links(folder, "5", "6") == {"5": "6", "6": None}


def test_two_written_links_of_one_day_to_each_other_leave_one(tmp_path: Path):
    day = "2026-01-05 | 2026-01-05 | washer | leaks | repaired | one"
    head = JOB + " | callback_of"
    folder = shop(tmp_path, jobs=f"{head}\n5 | {day} | 6\n6 | {day} | 5\n{LATER} |")
    assert links(folder, "5", "6") == {"5": None, "6": "5"}


def test_numbers_are_ordered_as_numbers(tmp_path: Path):
    """Two repairs closed on one day: the callback returns to the larger number, 10 and not 9."""
    jobs = [
        "9  | 2026-01-02 | 2026-01-05 | washer | leaks | repaired | one",
        "10 | 2026-01-03 | 2026-01-05 | washer | leaks | repaired | one",
        "11 | 2026-01-20 | 2026-01-21 | washer | leaks | declined | one",
    ]
    folder = shop(tmp_path, jobs="\n".join([JOB, *jobs, LATER]))
    assert links(folder, "11") == {"11": "10"}


def test_the_final_cause_is_what_the_end_of_the_chain_found(tmp_path: Path):
    """Heater, then fan, then heater again: the first diagnosis was right after all."""
    kind = "refrigerator | not_cooling | repaired | one"
    jobs = [
        f"1 | 2026-01-02 | 2026-01-02 | {kind} | defrost_heater_open",
        f"2 | 2026-01-10 | 2026-01-10 | {kind} | evaporator_fan_failed",
        f"3 | 2026-01-20 | 2026-01-20 | {kind} | defrost_heater_open",
    ]
    folder = shop(tmp_path, jobs="\n".join([CAUSE, *jobs, LATER + " |"]))
    final = run(folder, "pages/jobs").set_index("job_id")["cause"]
    assert final[["1", "2", "3"]].tolist() == ["defrost_heater_open"] * 3
