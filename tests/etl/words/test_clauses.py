"""What a complaint's clauses take back: what is over, cured, denied late or good."""

import pytest

from etl.words.complaints import symptom_of


@pytest.mark.parametrize(
    ("kind", "text", "symptom"),
    [
        ("refrigerator", "was not cooling last week, now fine", None),
        ("refrigerator", "was leaking but has stopped", None),
        ("washer", "was making noise but it's quiet now", None),
        ("washer", "was noisy and still leaks", "leaks"),
        ("washer", "leak is fixed, now won't spin", "wont_spin"),
        ("washer", "pumpt ab, schleudert aber nicht", "wont_spin"),
        ("washer", "leaves the clothes wet because it will not spin", "wont_spin"),
        ("washer", "pumps the water out but won't spin", "wont_spin"),
        ("refrigerator", "fridge warm but freezer still makes ice", "warm_fresh_food"),
    ],
)
def test_what_is_over_or_good_is_no_complaint(kind: str, text: str, symptom: str | None) -> None:
    assert symptom_of(kind, text) == symptom


@pytest.mark.parametrize(
    ("kind", "text", "symptom"),
    [
        ("refrigerator", "freezer ok fridge ok ice maker dead", "no_ice"),
        ("refrigerator", "no water on floor, just warm fridge", "not_cooling"),
        ("refrigerator", "no cold water from dispenser", "no_water"),
        ("refrigerator", "freezer too cold", None),
        ("refrigerator", "ice tastes bad", None),
        ("washer", "smells like gas", None),
    ],
)
def test_another_part_in_the_clause_is_what_fails(
    kind: str, text: str, symptom: str | None
) -> None:
    assert symptom_of(kind, text) == symptom


def test_one_known_word_among_unknown_words_means_nothing() -> None:
    assert symptom_of("washer", "dead") == "wont_start"
    assert symptom_of("washer", "dead flumph") is None
