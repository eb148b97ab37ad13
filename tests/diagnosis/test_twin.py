"""Evidence, corrections and habits in SQL give what a slow plain-Python count gives."""

import pytest
from hypothesis import HealthCheck, given, settings, strategies

from tests.diagnosis import slow_verdicts as slow
from tests.diagnosis.random_washers import Job, Shop, jobs


@pytest.fixture(scope="module")
def shop() -> Shop:
    """One database for all examples."""
    return Shop()


@settings(
    max_examples=40,
    deadline=None,
    derandomize=True,
    suppress_health_check=[HealthCheck.function_scoped_fixture, HealthCheck.too_slow],
)
@given(drawn=strategies.lists(jobs, min_size=1, max_size=6))
def test_verdicts_of_random_shops(shop: Shop, drawn: list[Job]):
    shop.fill(drawn)
    chain = slow.chain_of(drawn)
    wanted = {f"J{n}": slow.evidence(job, chain) for n, job in enumerate(drawn)}
    is_measured = any(job.readings for job in drawn)
    found = {(r["job_id"], r["component"]): r for r in shop.rows("part_evidence")}
    assert set(found) == {(job, part) for job, parts in wanted.items() for part in parts}
    for (job, part), row in found.items():
        word, log_ratio = wanted[job][part]
        assert row["evidence"] == (word if is_measured else None)
        if is_measured:
            assert row["log_ratio"] == pytest.approx(log_ratio, abs=0.0006)
    for row in shop.rows("job_patterns"):
        job = drawn[int(row["job_id"][1:])]
        words = {part: word for part, (word, _) in wanted[row["job_id"]].items()}
        assert row["is_corrected"] == slow.is_corrected(job)
        assert row["is_missed"] == slow.missed(job)
        assert _habits(row) == (_wanted_habits(job, words) if is_measured else (None, None, None))


def _habits(row: dict) -> tuple:
    return row["is_not_tested"], row["is_against"], row["is_several"]


def _wanted_habits(job: Job, words: dict[str, str]) -> tuple:
    if not any(word != "no test" for word in words.values()):
        return None, None, None
    return (
        "not tested" in words.values(),
        "against" in words.values(),
        slow.several(job, words),
    )
