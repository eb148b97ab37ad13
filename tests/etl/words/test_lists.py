"""The lists of words: every id exists, every concept has words, in three languages."""

from collections import defaultdict

import pytest

import sql
from etl.words.complaints import is_of

LANGUAGES = ("en", "de", "fr")
# the filters and screens of a washer have words of their own in failure_words
OF_NO_PART = (
    "filter_or_screen",
    "none",
    "user",
    "supply",
    "water_supply",
    "installation",
    "bias_heater",
)
NOT_SPOKEN = ("unspecified",)


def _concepts(name: str) -> dict[str, set[str]]:
    found: dict[str, set[str]] = defaultdict(set)
    for row in sql.lookup(name):
        if row["words"]:
            found[row["concept"]].add(row["language"])
    return found


def _ids(name: str, column: str) -> set[str]:
    return {row[column] for row in sql.lookup(name)}


@pytest.mark.parametrize(
    ("words", "column", "register"),
    [
        ("complaint_patterns", "symptom", "symptoms"),
        ("cause_words", "cause", "causes"),
        ("component_words", "component", "components"),
        ("kind_features", "kind", "kinds"),
        ("disposition_words", "disposition", "dispositions"),
        ("outcome_words", "outcome", "visit_outcomes"),
        ("common_causes", "cause", "causes"),
        ("common_causes", "component", "components"),
    ],
)
def test_every_id_with_words_is_in_the_register(words: str, column: str, register: str) -> None:
    column_there = {"outcome_words": "outcome", "kind_features": "kind"}.get(words, column)
    assert _ids(words, column) - _ids(register, column_there) == set()


def test_failures_name_modes_of_the_register() -> None:
    modes = _ids("failure_modes", "failure_mode")
    for row in sql.lookup("failure_meanings"):
        assert set(row["failure_modes"].split("|")) <= modes
    assert _ids("failure_meanings", "concept") <= set(_concepts("failure_words"))


@pytest.mark.parametrize(
    ("patterns", "lexicon", "others"),
    [
        ("complaint_patterns", "complaint_words", {"not", "code"}),
        ("disposition_words", "status_words", {"not"}),
        ("outcome_words", "status_words", {"not"}),
        ("cause_words", "failure_words", _ids("components", "component")),
    ],
)
def test_every_concept_of_a_pattern_has_words(patterns: str, lexicon: str, others: set) -> None:
    known = set(_concepts(lexicon)) | others
    unknown = {
        concept
        for row in sql.lookup(patterns)
        for pattern in row["patterns"].split("|")
        for concept in pattern.split()
        if concept not in known
    }
    assert unknown == set()


def test_every_kind_has_features_in_three_languages() -> None:
    spoken = _concepts("kind_words")
    for kind in _ids("kinds", "kind"):
        concepts = [
            row["concepts"].split() for row in sql.lookup("kind_features") if row["kind"] == kind
        ]
        for language in LANGUAGES:
            assert any(all(language in spoken[c] for c in some) for some in concepts), (
                kind,
                language,
            )


def test_every_symptom_of_every_kind_can_be_said_in_three_languages() -> None:
    spoken = _concepts("complaint_words") | {"not": set(LANGUAGES), "code": set(LANGUAGES)}
    for row in sql.lookup("symptoms"):
        if row["symptom"] in NOT_SPOKEN:
            continue
        patterns = [
            pattern.split()
            for words in sql.lookup("complaint_patterns")
            if words["symptom"] == row["symptom"] and is_of(row["kind"], words["kinds"])
            for pattern in words["patterns"].split("|")
        ]
        for language in LANGUAGES:
            assert any(all(language in spoken[c] for c in p) for p in patterns), (row, language)


def test_every_part_has_words_in_three_languages() -> None:
    spoken: dict[str, set[str]] = defaultdict(set)
    for row in sql.lookup("component_words"):
        spoken[row["component"]].add(row["language"])
    for component in _ids("components", "component") - set(OF_NO_PART):
        assert spoken[component] == set(LANGUAGES), component
