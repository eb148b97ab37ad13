"""One job in words and as a picture: everything the records say of it, nothing else."""

from pathlib import Path

import pytest

from dashboard.cli.main import main
from dashboard.database.labels import Labels
from dashboard.database.snapshot import take
from dashboard.database.version import NoData
from dashboard.job import charts as charts_job
from dashboard.job.as_text import explained
from dashboard.job.sentences import read_job
from tests import ask
from tests.ask import run
from tests.diagnosis.drawn_jobs import LOCK, PUMP, job, part, reading, washers

VISITS = """
A | 1 | Ann | 2026-01-01 09:00 | 30 | 10 | part_on_order
A | 2 | Ann | 2026-01-02 09:00 | 20 | 10 | completed
"""


@pytest.fixture
def drawn(tmp_path: Path) -> Path:
    """A: pump read open on visit 1, replaced on visit 2, came back as B; one reading has no visit."""
    return washers(
        tmp_path,
        jobs=job("A", customer="one")
        + job("B", "lid_lock_failed", "2026-01-10", "2026-01-11", "one")
        + job("C", opened="2026-06-01", closed="2026-06-01"),
        visits=VISITS,
        readings=reading("A", PUMP, "OL") + reading("A", LOCK, "0.3", visit="", seq=""),
        part_lines=part("A", "drain_pump", visit=2),
    )


def test_the_text_lists_visits_readings_parts_calls_and_patterns_in_order(drawn: Path):
    text = explained(take(drawn), "A")
    wanted = [
        "Visit 1, Jan 1, 2026 at 09:00, Ann",
        "open, outside (spec 5–120 Ω)",
        "Visit 2",
        "supported, the readings speak for the part",
        "if the part is at fault",
        "Together ×",
        "Came back as B, 8 days apart",
        "Came back: different cause: yes",
    ]
    places = [text.index(part) for part in wanted]
    assert places == sorted(places)


def test_a_callback_names_the_job_it_came_back_to(drawn: Path):
    assert "Callback on job A, 8 days apart" in explained(take(drawn), "B")


def test_a_pattern_that_cannot_be_said_is_not_a_no(drawn: Path):
    assert "Came back: different cause: cannot be said" in explained(take(drawn), "C")


def test_an_unknown_job_is_one_line_that_says_what_was_wanted(drawn: Path):
    with pytest.raises(NoData, match="'X' is not in these records"):
        explained(take(drawn), "X")


def test_the_command_prints_it_and_fails_in_one_line(drawn: Path, capsys: pytest.CaptureFixture):
    assert main(["explain", "A", "--db", str(drawn)]) == 0
    assert "Visit 1" in capsys.readouterr().out
    assert main(["explain", "X", "--db", str(drawn)]) == 1
    error = capsys.readouterr().err
    assert error.count("\n") == 1
    assert "Traceback" not in error


def test_every_job_of_the_sample_shop_can_be_explained(sample_shop: Path):
    """A spread of jobs: every kind of closing, with and without readings, parts, callbacks."""
    jobs = run(sample_shop, "pages/jobs")
    for job_id in jobs.groupby(["disposition", "appliance_kind"])["job_id"].first():
        assert job_id in explained(take(sample_shop), job_id)


def test_the_picture_holds_every_reading_and_part_once(drawn: Path):
    found = read_job(lambda name: run(drawn, f"pages/{name}", job_id="A", window_days=30))
    assert found is not None
    figure = charts_job.timeline(found, Labels(ask.run(drawn, "pages/labels")))
    points = [point for trace in figure.data for point in trace.x]
    assert len(points) == 2 + 1  # two readings, one part


class Row:
    """A judged reading for the picture."""

    def __init__(self, value=None, low=None, high=None, is_open=False, zone="inside"):
        self.value, self.low, self.high = value, low, high
        self.is_open, self.zone = is_open, zone


@pytest.mark.parametrize(
    ("row", "wanted"),
    [
        (Row(5, 5, 40), 0),  # on the low limit
        (Row(40, 5, 40), 1),  # on the high limit
        (Row(22.5, 5, 40), 0.5),
        (Row(1e9, 5, 40, zone="outside"), charts_job.TOP),  # cut
        (Row(is_open=True), charts_job.OPEN_ROW),
        (Row(2, None, 2), 1),  # only a high limit
        (Row(1e6, 1e6, None), 0),  # only a low limit
        (Row(4e6, 1e6, None), 0.75),
        (Row(zone="outside"), charts_job.TOP),  # seen, no number
        (Row(zone="inside"), 0.5),
    ],
)
def test_limits_lie_at_nought_and_one_in_the_picture(row: Row, wanted: float):
    assert charts_job.height(row) == pytest.approx(wanted)
