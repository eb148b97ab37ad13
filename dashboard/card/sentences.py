"""The technician's card in words: neutral, a reason to talk, never a judgment of a person."""

import pandas as pd

from dashboard.card.compute import Counted
from dashboard.changes.compute import Effect, Group
from dashboard.changes.figures import NAMES, points_range, share
from dashboard.database.labels import Labels
from dashboard.evidence.patterns import pattern_name
from dashboard.notes.talks import Talk
from dashboard.rows import Row
from dashboard.text import format as words

QUESTIONS = {
    None: "What would have shown the other cause on the first visit?",
    "not_tested": "Which reading condemned this part? If none: what did you see or hear?",
    "against": "The readings said the part was good; why was it replaced?",
    "missed": "What explained this reading? Was it taken again?",
    "several": "Which of these parts cured it, and how do we know?",
}
SAID = {  # the words of the evidence, for a list
    "supported": "readings for it",
    "against": "readings against it",
    "unclear": "readings decide little",
    "not tested": "not tested",
    "no test": "no listed test",
}
NONE_STANDS_OUT = "No pattern shows up more often than expected for the same work."
METER_IS_ELSEWHERE = "The meter check compares technicians: ask the lead technician for it."
NO_METER = "No reading of this technician's meter stands out."


def few(jobs: int, least: int) -> str:
    """Warn of small numbers; nothing where there are enough."""
    return "" if jobs >= least else f"Only {words.counted(jobs, 'job')}: too few to be sure."


def more(found: Counted) -> str:
    """Write "Replaced without testing: 161 of 428 jobs, 70 expected …; well outside normal"."""
    sure = "well outside normal" if found.verdict == "different" else "outside normal, worth a look"
    return f"{plain(found)}; {sure}."


def plain(found: Counted) -> str:
    """Write a pattern with its counts."""
    name = pattern_name(found.pattern)
    jobs = f"{found.shown:,} of {words.counted(found.asked, 'job')}"
    return f"{name}: {jobs}, {words.number(found.expected)} expected for the same work"


def fewer(found: Counted) -> str:
    """Write a pattern that shows less often than expected."""
    return f"{plain(found)}: fewer than expected."


def first_time_fix(row: Row | None, least: int) -> str:
    """Say how often repairs are fixed first time, against the same work of the others."""
    if row is None or row.mature == 0:
        return "First-time fix cannot be said: no repair is past the callback window."
    fixed = int(row.fixed_first_time)
    rate = f"First-time fix: {share(Group(int(row.mature), fixed, fixed))}"
    if row.mature < least or words.is_missing(row.funnel):
        return f"{rate}. Too few jobs to compare."
    where = "as expected"
    if row.funnel != "inside":
        where = (
            "more than expected" if row.judged_rate > row.judged_against else "less than expected"
        )
    expected = words.percent(row.expected / row.mature)
    return f"{rate}; {expected} expected for the same work: {where}."


def supported(count: int, parts: int) -> str:
    """Say for how many replaced parts the readings speak."""
    if not parts:
        return "No replaced part has a listed test that shows whether it failed."
    return (
        f"Readings supported {count:,} of {words.counted(parts, 'replaced part')} that have a "
        "listed test."
    )


def job(row: Row, labels: Labels) -> str:
    """Write what was replaced on a job and what its readings said."""
    if words.is_missing(row.component):
        return "no part replaced"
    part = labels.of("component", row.component, row.appliance_kind)
    return f"{part}: {SAID.get(row.evidence, 'no readings recorded')}"


def complaint(row: Row, labels: Labels) -> str:
    """Write appliance and complaint of a job."""
    kind = row.appliance_kind
    return f"{labels.of('appliance_kind', kind)}: {labels.of('symptom', row.symptom, kind)}"


def outcome(row: Row, labels: Labels) -> str:
    """Write what a job turned out to be."""
    cause = labels.of("cause", row.final_cause, row.appliance_kind)
    if words.is_missing(row.is_wrong):
        return f"{cause}; cannot be judged yet"
    return f"{cause}; first diagnosis {'wrong' if row.is_wrong else 'not corrected'}"


def since_talk(talk: Talk | None, measured: str, effect: Effect | None) -> str:
    """Say what moved since the last talk."""
    if talk is None:
        return "No talk is noted yet."
    head = f"Last talk {words.day(talk.held_on)}: {talk.agreed}"
    if effect is None or effect.effect is None:
        return f"{head}. Too few jobs before or since to say what moved."
    side = effect.touched
    before = share(side.before)
    after = share(side.after)
    against = ", what the others did in the same time subtracted" if effect.rest else ""
    return (
        f"{head}. {NAMES[measured]}: {before} before, {after} since. The difference is "
        f"{points_range(effect.effect)}, the mix of work held{against}."
    )


def meter(row: Row, labels: Labels) -> str:
    """Write one test point at which the meter reads otherwise than the others'."""
    shift = f"{row.shift:+.0%}".replace("-", words.MINUS)
    limits = words.percent_range(row.shift_low, row.shift_high)
    return (
        f"Meter to be checked: {labels.of('test_point', row.test_point)} reads {shift} ({limits}) "
        f"against the others, {words.counted(row.n, 'reading')}."
    )


def chance(value: float | None) -> str:
    """Write the chance that a part was at fault all the same."""
    return words.MISSING if pd.isna(value) else words.percent(value)
