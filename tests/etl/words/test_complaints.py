"""What a complaint means: negation, the compartment that is meant, dangers first."""

import pytest

import sql
from etl.words.complaints import symptom_of


@pytest.mark.parametrize(
    ("kind", "text", "symptom"),
    [
        ("refrigerator", "freezer cold, fridge warm", "warm_fresh_food"),
        ("refrigerator", "fridge warm freezer ok", "warm_fresh_food"),
        ("refrigerator", "F/F warm, frz OK", "warm_fresh_food"),
        ("refrigerator", "fridge ok, freezer thawing", "warm_freezer"),
        ("refrigerator", "fridge and freezer warm", "not_cooling"),
        ("refrigerator", "freezer warm", "warm_freezer"),
        ("refrigerator", "fridge warm", "not_cooling"),
        ("washer", "no leak, just won't spin", "wont_spin"),
        ("washer", "smells of burning rubber", "burning_smell"),
        ("washer", "won't spin and smells of burning rubber", "burning_smell"),
        ("dryer_gas", "no heat, customer smells gas", "gas_smell"),
        ("dryer_electric", "no burning smell, just no heat", "no_heat"),
        ("range_electric", "oven doesn't heat, burners fine", "oven_no_bake"),
        ("washer", "noisy when draining", "noisy"),
        ("washer", "burning smell, gone now", "burning_smell"),
    ],
)
def test_a_complaint_means_what_it_says(kind: str, text: str, symptom: str) -> None:
    assert symptom_of(kind, text) == symptom


@pytest.mark.parametrize(
    ("kind", "text"),
    [
        ("washer", "no leaks"),
        ("washer", "no burning smell"),
        ("washer", "spins fine, drains ok"),
        ("washer", "noise is gone now"),
        ("dryer_electric", "heats fine"),
        ("washer", "see notes"),
        ("washer", "wont spinn"),  # a likeness is only ever a proposal
        ("", "not draining"),
        ("rocket", "not draining"),
    ],
)
def test_what_is_denied_or_not_known_means_nothing(kind: str, text: str) -> None:
    assert symptom_of(kind, text) is None


def test_every_word_that_the_register_lists_means_its_symptom() -> None:
    wrong = [
        (row["kind"], word)
        for row in sql.lookup("symptoms")
        for word in row["synonyms"].split("|")
        if row["symptom"] != "unspecified"
        and word != "im not working"
        and symptom_of(row["kind"], word) != row["symptom"]
    ]
    assert wrong == []
