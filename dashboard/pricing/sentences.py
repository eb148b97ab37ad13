"""Prices → text: what is lost, what a repair takes, what a rate leaves, what declining costs."""

import numpy as np
import pandas as pd

from dashboard.pricing.price_list import FEW_JOBS
from dashboard.pricing.profit import diagnosis_result
from dashboard.pricing.rates import past_jobs
from dashboard.pricing.repair_records import Repair, timed
from dashboard.pricing.terms import Terms
from dashboard.text import format as words
from dashboard.text.escape_markdown import verbatim


def losing_words(table: pd.DataFrame, terms: Terms) -> str:
    """Say how many repairs are under cost and which loses most."""
    known = table[table["result_now"].notna()]
    if known.empty:
        return (
            "**Cannot be said from these records:** pricing needs minutes, part costs and charges. "
            "Minutes to plan are below where there are any."
        )
    losing = known[known["result_now"] < 0]
    text = (
        f"**{len(losing)} of {words.counted(len(known), 'repair')} lost money** in these records, "
        f"at a labour cost of {words.number(terms.labour_per_hour, 2)} an hour."
    )
    if losing.empty:
        return text
    worst = losing.iloc[0]
    return (
        f"{text} Most of all **{verbatim(worst.label)}**: "
        f"{words.number(-worst.result_now)} lost in {words.counted(worst.costed_jobs, 'job')}, "
        f"charged {words.number(worst.median_charged)} (median) where "
        f"{words.number(worst.proposed_rate)} is proposed; "
        f"{words.percent(worst.share_under_cost_now)} of the jobs were under cost."
    )


def declined_words(seen: pd.Series, terms: Terms, fee: float) -> str:
    """Say what declined diagnoses cost beyond their fee, and what a repair would carry for them."""
    if words.is_missing(seen.declined_min):
        return "**Cannot be said:** no declined job with its minutes is in these records."
    road = seen.declined_travel_min
    road = terms.travel_min_per_trip if words.is_missing(road) else road
    cost = terms.labour(seen.declined_min + road) + terms.trip_cost
    share = seen.declined / seen.diagnosed
    left = diagnosis_result(fee, cost * share, int(seen.declined), int(seen.diagnosed), True)
    carried = left.carried_per_repair
    text = (
        f"{seen.declined:,.0f} of {seen.diagnosed:,.0f} diagnosed complaints "
        f"({words.percent(share)}) were declined or beyond repair. One took "
        f"{seen.declined_min:.0f} minutes and {road:.0f} of travel, {words.number(cost, 2)}; "
        f"the fee is {words.number(fee, 2)}. "
    )
    if carried is None or carried <= 0:
        return text + "The fee covers them."
    return text + (
        f"Each repair would have to carry {words.number(carried, 2)} for them: put it under “Other "
        "cost per job” if it shall."
    )


def time_words(repair: Repair, warranty_days: int) -> str:
    """Say how long the repair takes, how often it returns, and whether two kinds of job hide."""
    own_min = timed(repair.jobs)
    returned = int((repair.jobs["returns"] > 0).sum())
    text = (
        f"Half of {words.counted(len(own_min), 'job')} took up to {np.median(own_min):.0f} "
        f"minutes, second trips in; {words.counted(returned, 'job')} came back within "
        f"{warranty_days} days. With the returns it takes {repair.jobs['minutes'].mean():.0f} "
        "minutes on average until "
        "the complaint is cured."
    )
    if len(own_min) < FEW_JOBS:
        text += (
            " **Few jobs:** the planned minutes lean on other repairs of the same appliance, and "
            "the interval with them."
        )
    two = repair.two_kinds
    if two:
        text += (
            f"\n\n**Two kinds of job under one code:** about {words.percent(two.quick_share)} take "
            f"around {two.quick_min:.0f} minutes, the others around {two.slow_min:.0f}. One price "
            "over both means little: part the code if the layout can be told beforehand."
        )
    return text


def rate_words(repair: Repair, price: float, low: float, high: float) -> str:
    """Say the proposed rate, today's charge, and how many jobs each leaves under cost."""
    charged = repair.jobs["first_charged"].dropna()
    today, then = past_jobs(repair.jobs), past_jobs(repair.jobs, price)
    text = f"**Proposed: {words.number(price, 2)}**"
    if low < high:
        text += f" (95 %: {words.number(low, 2)} to {words.number(high, 2)})"
    if charged.empty:
        return text + ". What is charged today is not recorded."
    return (
        f"{text}. Charged today: {words.number(charged.median(), 2)} (median). Under cost were "
        f"{today.under_cost} of {words.counted(today.jobs, 'job')}; at the proposed rate it would "
        f"have been {then.under_cost} of {then.jobs}."
    )
