"""The lines of the page: numbers in words, and what cannot be said."""

from types import SimpleNamespace

from dashboard.power.sentences import CANNOT, line


def test_a_line_says_what_is_found_and_how_often_it_errs():
    row = SimpleNamespace(page="misdiagnosis", n=417, usual=0.22, found=0.31, false_flags=0.001)
    sentence = line(row, "USD")
    assert "417 judged diagnoses" in sentence
    assert "is found in 4 of 5 cases once 31% are wrong (22% is usual)" in sentence
    assert "fewer than 1 in 200 such shops" in sentence


def test_a_line_without_counts_or_that_finds_nothing_says_so():
    nothing = SimpleNamespace(
        page="early_parts", n=float("nan"), usual=None, found=None, false_flags=None
    )
    assert line(nothing, None).endswith(CANNOT)
    blind = SimpleNamespace(
        page="early_parts", n=9, usual=0.1, found=float("nan"), false_flags=0.03
    )
    assert "is not found in 4 of 5 cases, however large the difference" in line(blind, None)
