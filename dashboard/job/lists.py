"""The lists of jobs behind a number: the page of it, what is asked, what it is called."""

from collections.abc import Mapping
from dataclasses import dataclass, field


@dataclass(frozen=True)
class JobList:
    """One list: the page of its number, its SQL file in sql/pages, and fixed parameters.

    `title` says what the jobs have in common; "{of}" is where the group, reason or part is named,
    "{days}" the window asked for.
    """

    home: str
    query: str
    title: str
    fixed: Mapping[str, str | bool] = field(default_factory=dict)


LISTS = {
    "not_fixed": JobList(
        "first_time_fix", "counted_jobs", "not fixed first time{of}", {"which": "not_fixed"}
    ),
    "fixed": JobList("first_time_fix", "counted_jobs", "fixed first time{of}", {"which": "fixed"}),
    "counted": JobList(
        "first_time_fix", "counted_jobs", "counted in first-time fix{of}", {"which": "counted"}
    ),
    "excluded": JobList("first_time_fix", "excluded_jobs", "in “Who is counted”{of}"),
    "came_back": JobList("callbacks", "counted_jobs", "came back{of}", {"which": "came_back"}),
    "back_by": JobList("callbacks", "counted_jobs", "back within {days}{of}", {"which": "back_by"}),
    "early_part": JobList("callbacks", "part_jobs", "with{of}", {"which": "fitted"}),
    "early_returns": JobList(
        "callbacks", "part_jobs", "back within a year, with{of}", {"which": "came_back"}
    ),
    "return_trips": JobList("repeat_visits", "return_trip_jobs", "with a return trip{of}"),
    "mix_up": JobList("mix_ups", "mix_up_jobs", "with a mix-up{of}"),
    "tested": JobList(
        "power_of_tests", "test_jobs", "counted for this test{of}", {"is_settled": True}
    ),
    "cause": JobList("root_cause_mix", "cause_jobs", "with the root cause{of}"),
    "van_part": JobList("van_stock", "part_jobs", "that needed{of}", {"which": "needed"}),
}
ALTERNATIVES = {  # lists of one number that the reader may switch between
    name: {"not_fixed": "Not fixed first time", "fixed": "Fixed first time", "counted": "All"}
    for name in ("not_fixed", "fixed", "counted")
}
