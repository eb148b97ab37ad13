"""The card of one technician, from a snapshot: for page, command and paper alike."""

from collections.abc import Iterator
from dataclasses import dataclass, replace
from datetime import date, timedelta

import pandas as pd

from dashboard.access.page_roles import TECHNICIAN
from dashboard.access.queries import check_page
from dashboard.card import compute, sentences
from dashboard.changes.compute import effect_of
from dashboard.database.labels import Labels, read_labels
from dashboard.database.query import run
from dashboard.database.snapshot import Snapshot
from dashboard.database.version import NoData
from dashboard.evidence.chance import PartChance, part_chance, share_right
from dashboard.evidence.patterns import HABITS, pattern_name
from dashboard.filters import Filters
from dashboard.measures import measure
from dashboard.notes.talks import Talk, last_talk
from dashboard.recording.load import what_first
from dashboard.text import format as words

YEAR = timedelta(days=365)
MOST_CHANCE = 0.5  # readings that leave a part a better chance than this blame no one


@dataclass(frozen=True)
class CardPattern:
    """A pattern to talk about: what it is, its jobs as a table, the question to ask."""

    pattern: str | None
    name: str
    finding: str
    question: str
    jobs: pd.DataFrame


@dataclass(frozen=True)
class Card:
    """Everything on the card, in words; `few` warns of small numbers, "" where there are enough."""

    technician: str
    first: date | None
    last: date
    shop: str
    period: str
    few: str
    first_time_fix: str
    well: tuple[str, ...]
    patterns: tuple[CardPattern, ...]
    since_talk: str
    not_written: str
    meter: tuple[str, ...]


def technicians(snapshot: Snapshot) -> list[str]:
    """Return whose cards the reader may see, by name: a technician only his own."""
    own = snapshot.reader.technician
    if snapshot.reader.role == TECHNICIAN:
        return [str(own)]
    choices = run(snapshot, "pages/choices")
    names: list[str] = choices.loc[choices["filter"] == TECHNICIAN, "value"].tolist()
    return names


def card_of(snapshot: Snapshot, technician: str, filters: Filters | None = None) -> Card:
    """Return the card; without dates in the filters, of the last year of the records.

    A technician's role gets his own card whoever is named. Raises NoData for an unknown name,
    Refused.
    """
    check_page(snapshot.reader, "technician_card")
    known = technicians(snapshot)
    if snapshot.reader.role == TECHNICIAN:
        technician = known[0]
    if technician not in known:
        listed = words.listed(known, "or") if known else "nobody: no job names a technician"
        raise NoData(f"technician {technician!r} is not in these records; wanted {listed}")
    as_of = run(snapshot, "pages/dataset").iloc[0].as_of.date()
    chosen = replace(filters or Filters(), technician=(technician,))
    if chosen.from_date is None and chosen.to_date is None:
        chosen = replace(chosen, from_date=as_of - YEAR, to_date=as_of)
    return _card(snapshot, technician, chosen, as_of)


def _card(snapshot: Snapshot, technician: str, chosen: Filters, as_of: date) -> Card:
    labels, least = read_labels(snapshot), int(snapshot.settings["min_jobs"])
    chance = part_chance(run(snapshot, "pages/part_outcomes"))
    found = _counted(snapshot, chosen, chance, least)
    patterns = compute.standing_out(found)
    jobs = max((each.asked for each in found), default=0)
    talk = last_talk(snapshot.folder, technician)
    measured = _measured(talk, patterns)
    fix = measure(snapshot, "first_time_fix", chosen, group_by=TECHNICIAN)
    return Card(
        technician,
        chosen.from_date,
        chosen.to_date or as_of,
        str(snapshot.settings["shop_name"]),
        f"{words.day(chosen.from_date)} to {words.day(chosen.to_date or as_of)}",
        sentences.few(jobs, least),
        sentences.first_time_fix(None if fix.empty else fix.iloc[0], least),
        tuple(_well(snapshot, chosen, found)),
        tuple(_patterns(snapshot, chosen, patterns, chance, labels)),
        _since_talk(snapshot, technician, talk, measured, as_of),
        what_first(snapshot, chosen),
        tuple(_meter(snapshot, technician, labels)),
    )


def _counted(
    snapshot: Snapshot, chosen: Filters, chance: PartChance, least: int
) -> list[compute.Counted]:
    """Return every pattern of which the records can say something."""
    found = []
    for pattern in (None, *HABITS):
        table = measure(snapshot, "misdiagnosis", chosen, group_by=TECHNICIAN, pattern=pattern)
        each = compute.counted(pattern, table, least)
        if each is not None and not (pattern == "against" and _mostly_right(snapshot, chance)):
            found.append(each)
    return found


def _mostly_right(snapshot: Snapshot, chance: PartChance) -> bool:
    """Return True if parts that readings spoke against were right more often than not."""
    right = share_right(run(snapshot, "pages/pattern_parts", pattern="against"), chance)
    return right is None or right > MOST_CHANCE


def _well(snapshot: Snapshot, chosen: Filters, found: list[compute.Counted]) -> list[str]:
    parts = run(snapshot, "pages/card_parts", chosen, pattern="any")
    lines = [sentences.fewer(each) for each in compute.going_well(found)]
    return [*lines, sentences.supported(*compute.supported(parts))]


def _patterns(
    snapshot: Snapshot,
    chosen: Filters,
    found: list[compute.Counted],
    chance: PartChance,
    labels: Labels,
) -> Iterator[CardPattern]:
    """Yield each pattern with its jobs, none of them twice."""
    listed: set[str] = set()
    for each in found:
        parts = run(snapshot, "pages/card_parts", chosen, pattern=each.pattern)
        jobs = compute.telling(each.pattern, parts, chance, listed)
        listed |= set(jobs["job_id"])
        yield _pattern(each, jobs, labels)


def _pattern(found: compute.Counted, jobs: pd.DataFrame, labels: Labels) -> CardPattern:
    rows = [row for _, row in jobs.iterrows()]
    shown = pd.DataFrame(
        {
            "job_id": jobs["job_id"],
            "closed": [words.day(row.closed_on) for row in rows],
            "complaint": [sentences.complaint(row, labels) for row in rows],
            "replaced": [sentences.job(row, labels) for row in rows],
            "chance": [sentences.chance(row.chance) for row in rows],
            "outcome": [sentences.outcome(row, labels) for row in rows],
        }
    )
    question = sentences.QUESTIONS[found.pattern]
    return CardPattern(
        found.pattern, pattern_name(found.pattern), sentences.more(found), question, shown
    )


def _measured(talk: Talk | None, patterns: list[compute.Counted]) -> str:
    """Return what the trend since the talk is measured by."""
    if talk is not None and talk.measure:
        return talk.measure
    return (patterns[0].pattern if patterns else None) or "wrong"


def _since_talk(
    snapshot: Snapshot, technician: str, talk: Talk | None, measured: str, as_of: date
) -> str:
    if talk is None:
        return sentences.since_talk(None, measured, None)
    cells = measure(
        snapshot,
        "change_effect",
        measured=measured,
        changed_on=talk.held_on,
        before_from=talk.held_on - YEAR,
        after_to=as_of,
        on_technician=[technician],
    )
    effect = effect_of(cells, False, snapshot.settings["min_jobs"])
    return sentences.since_talk(talk, measured, effect)


def _meter(snapshot: Snapshot, technician: str, labels: Labels) -> list[str]:
    """Return what the meter check says of his meter, for those who may see it."""
    if not snapshot.reader.opens("meter_check"):
        return [sentences.METER_IS_ELSEWHERE]
    found = compute.flagged(measure(snapshot, "meter_check"), technician)
    return [sentences.meter(row, labels) for row in found] or [sentences.NO_METER]
