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


@pytest.mark.parametrize(
    ("kind", "text", "symptom"),
    [
        ("refrigerator", "loud hum, keeps everything cold so not in a rush", "noisy"),
        ("refrigerator", "rattles, milk is cold, no hurry", "noisy"),
        ("washer", "spins ok, no rush, leaks on floor", "leaks"),
        ("dryer_gas", "turns on no problem but squeals", "noisy"),
        ("washer", "water never comes in on any setting", "wont_fill"),
    ],
)
def test_a_no_before_an_unknown_word_takes_that_word(kind: str, text: str, symptom: str) -> None:
    assert symptom_of(kind, text) == symptom


@pytest.mark.parametrize(
    ("kind", "text", "symptom"),
    [
        ("disposer", "leaks under the sink, was jammed last month. grinds ok now", "leaks"),
        ("washer", "noisy in spin, was leaking before, fine now", "noisy"),
        ("washer", "was leaking, then it would not spin, fine now", None),
        ("washer", "leaking, fine now", None),
    ],
)
def test_fine_now_is_said_of_what_was(kind: str, text: str, symptom: str | None) -> None:
    assert symptom_of(kind, text) == symptom


@pytest.mark.parametrize(
    ("kind", "text", "symptom"),
    [
        ("range_electric", "bake NG broil OK", "oven_no_bake"),
        ("range_gas", "burners work oven dead", "oven_no_bake"),
        ("range_electric", "broiler out oven ok", "oven_no_broil"),
    ],
)
def test_each_place_of_heat_has_its_own_clause(kind: str, text: str, symptom: str) -> None:
    assert symptom_of(kind, text) == symptom


@pytest.mark.parametrize(
    ("kind", "text", "symptom"),
    [
        ("cooktop_induction", "display has E code, front zone fine, it shuts itself off", None),
        ("dryer_electric", "gets way too hot, burned the elastic on her leggings", "overheats"),
        ("dryer_electric", "smells like something burning, stops after a while", "burning_smell"),
        ("microwave", "micro above the oven shuts down", "stops_mid_cycle"),
        ("microwave", "oven in kitchen is dead", None),
        ("dishwasher", "dw totally dead", "wont_start"),
        ("refrigerator", "wtr on kitchen flr", "leaks"),
        ("refrigerator", "grinding noise, she took the ice bucket out", "noisy"),
        ("dishwasher", "buttons on the panel do not respond", "buttons_dead"),
        ("washer_top", "won't do anything when you press start", "wont_start"),
        ("hood", "barely pulls any smoke even on high", "weak_suction"),
    ],
)
def test_what_is_named_around_the_failure_changes_nothing(
    kind: str, text: str, symptom: str | None
) -> None:
    assert symptom_of(kind, text) == symptom


def test_with_and_without_in_short_end_no_clause() -> None:
    assert symptom_of("washer", "not filling w/ water") == "wont_fill"
    assert symptom_of("washer", "spins w/o noise, leaks") == "leaks"
