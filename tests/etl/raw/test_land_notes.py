"""Notes of a kind without a fuel are read by the fuel that the job's words name."""

import pytest

from tests.etl.exports import jobs_table, loaded, mapping, write
from tests.etl.rows import rows

JOBS = [
    # kind, complaint, cause, note, test point of the note
    ("range", "burner will not light", "spark module", "burner 40 ohm", None),
    ("range", "one burner does not heat", "infinite switch", "burner 40 ohm", "surface_element_ohm"),
    ("range", "does not heat", "", "burner 40 ohm", "surface_element_ohm"),
    ("dryer", "no heat", "gas valve coils weak", "heater 11 ohms", None),
    ("dryer", "no heat", "element open", "coil 28 ohms", "dryer_element_ohm"),
    ("dryer", "no heat", "", "coil 28 ohms", None),
]  # fmt: skip


@pytest.fixture(scope="module")
def points(tmp_path_factory) -> dict[str, str]:
    folder = tmp_path_factory.mktemp("fuel")
    text = "Job,In,Out,Unit,End,Complaint,Cause,Note\n" + "".join(
        f"{n},2026-01-02,2026-01-03,{kind},repaired,{complaint},{cause},{note}\n"
        for n, (kind, complaint, cause, note, _) in enumerate(JOBS, start=1)
    )
    by = mapping("elm", jobs_table(symptom="Complaint", root_cause="Cause", notes="Note"))
    loaded(write(folder / "jobs.csv", text), folder / "db", by)
    found = rows(folder / "db", "SELECT job_id, test_point FROM core.readings")
    return dict(found.itertuples(index=False, name=None))


@pytest.mark.parametrize("number", range(1, len(JOBS) + 1))
def test_a_note_is_read_by_the_fuel_that_the_job_names(points, number):
    assert points.get(str(number)) == JOBS[number - 1][-1]
