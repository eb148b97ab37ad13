"""The complaint sheet in words: the same on the page, on paper and in the terminal."""

from collections.abc import Sequence

import pandas as pd

from dashboard.database.labels import Labels
from dashboard.diagnosis.bench_card_html import CardLine
from dashboard.rows import Row, each_row
from dashboard.sheet.compute import Causes, PartShare
from dashboard.sheet.figures import Figures, Sheet, Subject
from dashboard.stats.proportion import wilson
from dashboard.stats.sequencing.cause_prior import CauseShare
from dashboard.text import format as words
from dashboard.text.cautions import cautions, of_kind

SHOWN_CAUSES, SHOWN_PARTS, SHOWN_REPAIRS = 6, 6, 4
GENERAL_FROM = 0.5  # weight of the general figures from which the sheet says so first
REMARKS = ("one_reading", "limits", "local_law", "records")


def sheet_of(subject: Subject, figures: Figures, labels: Labels) -> Sheet:
    """Return the sheet in words."""
    kind, card = labels.of("appliance_kind", subject.kind), figures.card
    title = f"{kind}: {labels.of('symptom', subject.complaint, subject.kind)}"
    return Sheet(
        words.capitalized(title) + (f" ({subject.name})" if subject.name else ""),
        f"{basis_words(subject, figures.causes, kind)} Data through {words.day(figures.as_of)}.",
        figures.causes is None or figures.causes.general >= GENERAL_FROM,
        cause_lines(subject, figures.causes, labels),
        card is not None,
        card.lines if card else _cautions(of_kind(subject.kind)),
        card.before_closing if card else (),
        part_lines(subject, figures, labels),
        (minutes_words(figures), *price_lines(subject, figures, labels)),
        came_back_words(subject, figures),
        tuple(job_words(row, subject, labels) for row in each_row(figures.last_jobs)),
        card.remarks if card else _cautions(REMARKS),
        figures.last_jobs,
    )


def _cautions(names: Sequence[str]) -> tuple[CardLine, ...]:
    return tuple(CardLine(*cautions()[name]) for name in names)


def basis_words(subject: Subject, causes: Causes | None, kind: str) -> str:
    """Say what the causes rest on, and how much of it is borrowed."""
    if causes is None:
        return "No repair with a recorded cause and no general weights: causes cannot be said."
    own = words.counted(causes.own, "repair")
    if not subject.is_whole_kind:
        return _borrowed_words(subject, causes, own, kind)
    general = words.percent(causes.general)
    if causes.own == 0:
        return "No repair of our own yet: the causes are general weights of the trade."
    if causes.general == 0:
        return f"Causes from our own {own}."
    if causes.general >= GENERAL_FROM:
        return f"Only {own} of our own: the causes are mostly general weights ({general})."
    return f"Causes from our own {own}, with a weight of {general} on general figures."


def _borrowed_words(subject: Subject, causes: Causes, own: str, kind: str) -> str:
    what = "this model" if subject.model else "this brand"
    if causes.borrowed == 0:
        return f"Causes from {own} of {what}."
    rest = words.counted(causes.other, f"{kind} repair")
    text = f"{own} of {what}: {words.percent(causes.borrowed)} of the weight is borrowed from "
    text = text if causes.own else f"No repair of {what} yet: all is borrowed from "
    text += f"{rest} of other {'models' if subject.model else 'brands'}"
    if not causes.other:
        text = f"{own} of {what} and none of others: the rest is general weights"
    general = words.percent(causes.general)
    is_mostly = causes.general >= GENERAL_FROM
    return f"{text} ({general} general weights{', so mostly general' if is_mostly else ''})."


def cause_lines(
    subject: Subject, causes: Causes | None, labels: Labels
) -> tuple[tuple[str, str, str], ...]:
    """Write the likeliest causes: name, share with interval, own jobs; the rest in one line."""
    if causes is None:
        return ()
    ordered = sorted(causes.mix.shares.items(), key=lambda item: (-item[1].share, item[0]))
    lines = [
        (labels.of("cause", cause, subject.kind), _share_words(each), f"{each.jobs:,}")
        for cause, each in ordered[:SHOWN_CAUSES]
    ]
    rest = [each for _, each in ordered[SHOWN_CAUSES:]]
    if rest:
        share = words.percent(sum(each.share for each in rest))
        lines.append(
            (words.counted(len(rest), "other"), share, f"{sum(each.jobs for each in rest):,}")
        )
    return tuple(lines)


def _share_words(each: CauseShare) -> str:
    share = words.percent(each.share, low=each.low, high=each.high)
    return f"{share} ({words.percent_range(each.low, each.high)})"


def part_lines(subject: Subject, figures: Figures, labels: Labels) -> tuple[str, ...]:
    """Write the parts to bring; say so where they are those of the whole kind."""
    lines = tuple(part_words(part, labels) for part in figures.parts[:SHOWN_PARTS])
    if subject.is_whole_kind or figures.has_near_parts or not lines:
        return lines
    return (
        f"Fewer than {words.FEW} repairs of {subject.name}: parts of all brands and models",
        *lines,
    )


def part_words(part: PartShare, labels: Labels) -> str:
    """Write a part to bring: name, usual numbers, how many repairs took one."""
    name = words.capitalized(labels.of("component", part.component))
    numbers = f" ({' or '.join(part.numbers)})" if part.numbers else ""
    share = words.rate(part.jobs, part.of_jobs, part.low, part.high, "repairs")
    return f"{name}{numbers}: {share}"


def minutes_words(figures: Figures) -> str:
    """Write the minutes to plan on the job."""
    planned = figures.minutes
    if planned is None:
        return "Minutes to plan cannot be said: no repair has its minutes recorded."
    text = f"Plan {words.minutes(planned.planned_min)} on the job"
    if planned.low is not None and planned.high is not None:
        text += f" ({words.minutes(planned.low)} to {words.minutes(planned.high)})"
    text += f"; {words.percent(figures.quantile)} of {words.counted(planned.n, 'repair')} take less"
    if planned.own_share < 1:
        borrowed = words.percent(1 - planned.own_share)
        text += f". With so few, {borrowed} of the plan is borrowed from other jobs"
    return f"{text}."


def price_lines(subject: Subject, figures: Figures, labels: Labels) -> tuple[str, ...]:
    """Write the usual repairs, each with its minutes and flat rate where the reader sees them."""
    lines = []
    for row in each_row(figures.repairs.head(SHOWN_REPAIRS)):
        name = labels.of("repair_code", row.repair_code, subject.kind)
        known = [words.counted(row.jobs, "job")]
        if not words.is_missing(row.planned_minutes):
            known.append(f"plan {words.minutes(row.planned_minutes)}")
        elif not words.is_missing(row.median_min):
            known.append(f"typically {words.minutes(row.median_min)}")
        if not words.is_missing(row.proposed_rate):
            known.append(f"flat rate {words.money(row.proposed_rate, figures.currency)}")
        lines.append(f"{name}: {', '.join(known)}")
    return tuple(lines)


def came_back_words(subject: Subject, figures: Figures) -> str:
    """Write how often the complaint came back, of the model if it has repairs, and of the kind."""
    near = _returns(figures.jobs[figures.jobs["is_near"].astype(bool)])
    within = f"within {words.counted(figures.window_days, 'day')}"
    if subject.is_whole_kind:
        return f"Came back {within}: {near}."
    return f"Came back {within}: {near}; all brands and models: {_returns(figures.jobs)}."


def _returns(jobs: pd.DataFrame) -> str:
    came, mature = int(jobs["callbacks"].sum()), int(jobs["mature"].sum())
    edges = wilson(came, mature) if mature else None
    low, high = (float(edges.low), float(edges.high)) if edges else (None, None)
    return words.rate(came, mature, low, high, "repairs")


def job_words(row: Row, subject: Subject, labels: Labels) -> str:
    """Write one past job in a line: number, day, appliance, what it was, visits, return."""
    name = " ".join(str(each) for each in (row.brand, row.model) if not words.is_missing(each))
    cause = (
        labels.of("disposition", row.disposition)
        if words.is_missing(row.cause)
        else labels.of("cause", row.cause, subject.kind)
    )
    text = f"{row.job_id}, {words.day(row.closed_on)}{', ' + name if name else ''}: {cause}"
    if not words.is_missing(row.attended_visits):
        text += f", {words.counted(row.attended_visits, 'visit')}"
    if not words.is_missing(row.labour_min):
        text += f", {words.minutes(row.labour_min)}"
    if not words.is_missing(row.callback_days):
        text += f", came back after {words.counted(row.callback_days, 'day')}"
    return text
