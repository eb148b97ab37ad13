"""Break-even of a change of price, by the textbook's formula and by counting customers."""

import pytest

from dashboard.pricing.break_even import may_decline, raises


@pytest.mark.parametrize(
    ("old", "new", "variable", "wanted"),
    [
        (10.0, 9.5, 5.5, -0.125),  # a cut of 5 %: 0.5 / (4.5 - 0.5) = 12.5 % more sales
        (10.0, 10.5, 5.5, 0.10),  # a raise of 5 %: 0.5 / (4.5 + 0.5) = 10 % fewer
        (200.0, 240.0, 50.0, 40 / 190),
    ],
)
def test_the_break_even_change_of_sales_is_the_textbooks(old, new, variable, wanted):
    """-change / (contribution margin + change): Nagle & Müller, The Strategy and Tactics of Pricing.

    The formula is from memory; the amounts are worked by hand in the comments.
    """
    assert may_decline(old, new, variable) == pytest.approx(wanted)


def test_that_share_of_declines_earns_just_as_much_with_the_fee_of_who_declines():
    """100 customers at 200, parts 50; at 240 the share s declines and pays 95: counted out."""
    share = may_decline(200, 240, 50, fee=95)
    before = 100 * (200 - 50)
    after = 100 * (1 - share) * (240 - 50) + 100 * share * 95
    assert after == pytest.approx(before)


def test_a_job_that_leaves_no_more_than_a_declined_one_has_no_break_even():
    assert may_decline(100, 140, 60, fee=95) is None
    assert may_decline(None, 140, 60) is None
    assert may_decline(60, 300, 100) == 1.0  # at 60 it lost money: all may decline


def test_raises_are_of_todays_price_with_the_margin_that_each_leaves():
    steps = raises(200, 50, 180)
    assert [each.by for each in steps] == [0.05, 0.10, 0.20]
    assert [each.price for each in steps] == pytest.approx([210, 220, 240])
    assert [each.margin for each in steps] == pytest.approx([30 / 210, 40 / 220, 60 / 240])
    assert steps[0].may_decline == pytest.approx(10 / 160)
    assert raises(None, 50, 180) == []
