"""The goals of the bench of verdicts: each is missed on its own side of its limit."""

from dataclasses import replace

import pytest

from tests.bench.verdicts import Share, missed

MET = Share("", [], precision=0.9, of_parts=0.9, widest=10, covers=36, intervals=40)


@pytest.mark.parametrize(
    ("worse", "goal"),
    [
        ({"precision": 0.89}, "wrong-diagnosis rate"),
        ({"of_parts": 0.89}, "precision of parts"),
        ({"widest": 10.1}, "printed chance"),
        ({"covers": 31}, "true ratio"),  # with the other share 67 of 80
    ],
)
def test_a_goal_is_missed_when_one_share_of_shops_misses_it(worse: dict, goal: str):
    assert missed([MET, MET]) == []
    (said,) = missed([MET, replace(MET, **worse)])
    assert goal in said
