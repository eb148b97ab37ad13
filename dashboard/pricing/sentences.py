"""Prices → text: what is lost, what a repair takes, what a rate leaves, what declining costs."""

import numpy as np
import pandas as pd

from dashboard.database.labels import Labels
from dashboard.pricing.price_list import FEW_JOBS
from dashboard.pricing.profit import diagnosis_result
from dashboard.pricing.rates import past_jobs
from dashboard.pricing.repair_records import Repair, timed
from dashboard.pricing.terms import CALL_FEE_REPAIRS, Terms
from dashboard.rows import each_row
from dashboard.text import format as words
from dashboard.text.escape_markdown import verbatim


def repair_label(kind: str, code: str, labels: Labels) -> str:
    """Write "refrigerator: Replace defrost heater"; it is in addresses, so without a count."""
    return f"{labels.of('appliance_kind', kind)}: {labels.of('repair_code', code, kind)}"


def losing_words(table: pd.DataFrame, terms: Terms, currency: str | None) -> str:
    """Say how many repairs lost money and which lost most."""
    known = table[table["result_now"].notna()]
    if known.empty:
        return (
            "**Cannot be said from these records:** prices need minutes, part costs and charges. "
            "Planned minutes are below where there are any."
        )
    losing = known[known["result_now"] < 0]
    labor = words.money(terms.labour_per_hour, currency)
    text = (
        f"**{len(losing)} of {words.counted(len(known), 'repair')} lost money** in these records, "
        f"at a labor cost of {verbatim(labor)} an hour."
    )
    if losing.empty:
        return text
    worst = losing.iloc[0]
    lost, charged, proposed = (
        verbatim(words.money(value, currency))
        for value in (-worst.result_now, worst.median_charged, worst.proposed_rate)
    )
    return (
        f"{text} Most of all **{verbatim(worst.label)}**: {lost} lost on "
        f"{words.counted(worst.costed_jobs, 'job')}, {charged} charged (median), {proposed} "
        f"proposed; {words.percent(worst.share_under_cost_now)} of the jobs were under cost."
    )


def declined_words(seen: pd.Series, terms: Terms, fee: float, currency: str | None) -> str:
    """Say what declined diagnoses cost beyond their fee, and what a repair would carry for them."""

    def money(value: float, *, is_unit_price: bool = False) -> str:
        return verbatim(words.money(value, currency, is_unit_price=is_unit_price))

    if words.is_missing(seen.declined_min):
        return "**Cannot be said:** no declined job with its minutes is in these records."
    road = seen.declined_travel_min
    road = terms.travel_min_per_trip if words.is_missing(road) else road
    cost = terms.labour(seen.declined_min + road) + terms.trip_cost
    share = seen.declined / seen.diagnosed
    left = diagnosis_result(fee, cost * share, int(seen.declined), int(seen.diagnosed), True)
    carried = left.carried_per_repair if left else None
    text = (
        f"{seen.declined:,.0f} of {seen.diagnosed:,.0f} diagnosed complaints "
        f"({words.percent(share)}) were declined or beyond repair. Each took "
        f"{words.minutes(seen.declined_min)} on site and {words.minutes(road)} on the road, which "
        f"costs {money(cost)}; the fee is {money(fee)}. "
    )
    if carried is None or carried <= 0:
        return text + "The fee covers them."
    return text + (
        f"Each repair would have to carry {money(carried, is_unit_price=True)} for them: enter it "
        "under “Other cost per job” if you want to."
    )


def time_words(repair: Repair, warranty_days: int) -> str:
    """Say how long the repair takes, how often it returns, and whether two kinds of job hide."""
    own_min = timed(repair.jobs)
    returned = int((repair.jobs["returns"] > 0).sum())
    text = (
        f"Half of {words.counted(len(own_min), 'job')} took up to "
        f"{words.minutes(np.median(own_min))}, including return trips; "
        f"{words.counted(returned, 'job')} came back within {warranty_days} days. With those it "
        f"takes {words.minutes(repair.jobs['minutes'].mean())} on average until the complaint is "
        "fixed."
    )
    if len(own_min) < FEW_JOBS:
        text += (
            " **Few jobs:** the planned minutes, and their range, borrow from other repairs of the "
            "same appliance."
        )
    two = repair.two_kinds
    if two:
        text += (
            f"\n\n**Two kinds of job under one code:** about {words.percent(two.quick_share)} take "
            f"around {words.minutes(two.quick_min)}, the others around "
            f"{words.minutes(two.slow_min)}. One price for both means little: split the code if "
            "you can distinguish the two before the job."
        )
    return text


def rate_words(
    repair: Repair, price: float | None, low: float | None, high: float | None, currency: str | None
) -> str:
    """Say the proposed rate, today's charge, and how many jobs each leaves under cost."""

    def money(value: float | None) -> str:
        return verbatim(words.money(value, currency))

    if repair.code in CALL_FEE_REPAIRS:
        return f"**Priced as the call: {money(price)}.** This is no repair, so it has no flat rate."
    charged = repair.jobs["first_charged"].dropna()
    today, then = past_jobs(repair.jobs), past_jobs(repair.jobs, price)
    text = f"**Proposed: {money(price)}**"
    if low is not None and high is not None and low < high:
        text += f" (95% range {money(low)} to {money(high)})"
    if charged.empty:
        return text + ". What is charged today is not recorded."
    return (
        f"{text}. Charged today: {money(charged.median())} (median), with {today.under_cost:,} of "
        f"{words.counted(today.jobs, 'job')} under cost; at the proposed rate it would be "
        f"{then.under_cost:,} of {then.jobs:,}."
    )


def tried_words(recent: pd.DataFrame, tried: float, since: str, currency: str | None) -> str:
    """Say what a rate would have left on the jobs closed since a day."""

    def money(value: float | None) -> str:
        return verbatim(words.money(value, currency))

    now, then = past_jobs(recent), past_jobs(recent, tried)
    if not now.jobs:
        return f"No job with its charge and costs recorded was closed since {since}."
    return (
        f"Of {words.counted(now.jobs, 'job')} closed since {since}, {then.under_cost:,} would have "
        f"been under cost at {money(tried)} ({now.under_cost:,} at what was charged). The result "
        f"was {money(now.result)}; at this rate it would have been {money(then.result)}, had every "
        "customer still said yes."
    )


def per_hour_words(table: pd.DataFrame, least_jobs: int, currency: str | None) -> str:
    """Say what an hour leaves on average, and which groups surely leave less or more."""

    def money(value: float) -> str:
        return verbatim(words.money(value, currency))

    whole = table["profit"].sum() / table["hours"].sum()
    text = f"**An hour of a technician leaves {money(whole)}** on average, after all costs."
    enough = table[(table["jobs"] >= least_jobs) & table["low"].notna()]
    losing = enough[enough["high"] < 0]
    best = enough[enough["low"] > whole]
    if not losing.empty:
        names = [f"{verbatim(r.label)} ({money(r.profit_per_hour)})" for r in each_row(losing)]
        text += f" Surely below zero: {words.listed(names[:5])}"
        text += f" and {len(names) - 5} more." if len(names) > 5 else "."
    if not best.empty:
        top = best.iloc[-1]
        text += f" Most: {verbatim(top.label)}, {money(top.profit_per_hour)}."
    return text
