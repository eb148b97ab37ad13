"""The patterns that a job can show: outcomes, which can be wrong, and habits, which are not."""

from dataclasses import dataclass


@dataclass(frozen=True)
class Pattern:
    """A pattern: the column of core.patterns_in that says it, its name and meaning."""

    column: str
    name: str
    meaning: str


WRONG = "Wrong diagnosis"
OUTCOMES = {
    "corrected": Pattern(
        "is_corrected",
        "Corrected on a later visit",
        "a later visit of the same job fitted or repaired another component",
    ),
    "came_back": Pattern(
        "is_came_back",
        "Came back: different cause",
        "the job came back within the window and another component was found",
    ),
}
HABITS = {
    "not_tested": Pattern(
        "is_not_tested",
        "Replaced without testing",
        "a part was replaced and no test was made that can see it fail",
    ),
    "against": Pattern(
        "is_against",
        "Readings spoke against it",
        "a part was replaced although the readings spoke strongly against it",
    ),
    "missed": Pattern(
        "is_missed",
        "Bad reading missed",
        "a reading was outside limits, and the part that was fitted first does not explain it",
    ),
    "several": Pattern(
        "is_several",
        "Several parts at once",
        "two or more components were replaced on one visit, fewer than two supported by readings",
    ),
}
PATTERNS = OUTCOMES | HABITS
EVIDENCE = {
    "supported": "the readings speak for the part",
    "against": "the readings speak strongly against it",
    "unclear": "the readings decide little",
    "not tested": "no test was made that can see this part fail",
    "no test": "no listed test can see this part fail",
}


def pattern_name(pattern: str | None) -> str:
    """Return the name of a pattern; of a wrong diagnosis for None."""
    return WRONG if pattern is None else PATTERNS[pattern].name
