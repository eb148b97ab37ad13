"""The complaint sheet for page and command alike: read from a snapshot, put together."""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

import pandas as pd

from dashboard.database.labels import read_labels
from dashboard.database.query import run
from dashboard.database.snapshot import Snapshot
from dashboard.database.version import NoData
from dashboard.diagnosis.bench_card import bench_card
from dashboard.diagnosis.bench_card_html import Card
from dashboard.diagnosis.chain_rows import ChainRows
from dashboard.diagnosis.compute import propose
from dashboard.filters import Filters
from dashboard.measures import measure
from dashboard.pricing.terms import terms_of
from dashboard.sheet.compute import Causes, causes_of, minutes_of, parts_of
from dashboard.sheet.figures import Figures, Sheet, Subject
from dashboard.sheet.sentences import sheet_of
from dashboard.stats.sequencing.exact import steps
from dashboard.text.cautions import cautions
from dashboard.text.format import FEW


@dataclass(frozen=True)
class _Asked:
    """One question to a snapshot: the subject, the filters, and what queries are given."""

    snapshot: Snapshot
    subject: Subject
    filters: Filters

    def rows(self, name: str) -> pd.DataFrame:
        """Return the rows of a file of sql/ for this subject."""
        return run(self.snapshot, name, self.filters, **self.parameters)

    @property
    def parameters(self) -> dict[str, Any]:
        """Return what the queries of a sheet take besides the filters."""
        subject, volts = self.subject, self.snapshot.settings["service_volts"]
        return {
            "kind": subject.kind,
            "complaint": subject.complaint,
            "brand": subject.brand,
            "model": subject.model,
            "service_volts": None if isinstance(volts, Mapping) else str(volts),
        }


def complaint_sheet(snapshot: Snapshot, subject: Subject, filters: Filters | None = None) -> Sheet:
    """Return the sheet of one complaint; the filters of kind and complaint are its own.

    Raises NoData when neither a job nor the register knows the complaint on this kind.
    """
    asked = _Asked(snapshot, subject, filters or Filters())
    causes, card = causes_of(asked.rows("pages/sheet_causes"), subject.is_whole_kind), None
    jobs = asked.rows("pages/sheet_jobs")
    tests = _tests(asked)
    if causes is None and tests.empty and jobs.empty:
        raise NoData(
            f"no job of {subject.kind} with the complaint {subject.complaint} is in these records, "
            "and no test is listed for it; wanted ids as in the sheet's list"
        )
    if causes is not None and not tests.empty:
        card = _card(asked, tests, causes)
    return sheet_of(subject, _figures(asked, causes, card, jobs), read_labels(snapshot))


def _figures(
    asked: _Asked, causes: Causes | None, card: Card | None, jobs: pd.DataFrame
) -> Figures:
    dataset, terms = asked.rows("pages/dataset").iloc[0], terms_of(asked.snapshot.settings)
    is_near = not asked.subject.is_whole_kind and causes is not None and causes.own >= FEW
    return Figures(
        causes,
        card,
        parts_of(asked.rows("pages/sheet_parts"), is_near),
        is_near,
        minutes_of(asked.rows("pages/sheet_minutes"), terms.quantile),
        terms.quantile,
        _repairs(asked),
        jobs,
        asked.rows("pages/sheet_last_jobs"),
        asked.snapshot.window_days,
        dataset.as_of,
        dataset.currency,
    )


def _tests(asked: _Asked) -> pd.DataFrame:
    """Return the tests of the complaint: with the shop's own minutes, else the register's."""
    subject = asked.subject
    chosen = Filters(
        asked.filters.from_date,
        asked.filters.to_date,
        asked.filters.branch,
        appliance_kind=(subject.kind,),
        symptom=(subject.complaint,),
    )
    own = measure(asked.snapshot, "order_of_tests", chosen)
    return asked.rows("pages/chain_tests") if own.empty else own


def _card(asked: _Asked, tests: pd.DataFrame, causes: Causes) -> Card:
    """Return the bench card of the complaint under the sheet's own mix of causes."""
    subject, labels = asked.subject, read_labels(asked.snapshot)
    known = asked.rows("pages/sheet_causes")
    own = known.assign(
        jobs=[causes.mix.shares[cause].jobs for cause in known["cause"]],
        weight=[causes.prior.get(cause, 0.0) for cause in known["cause"]],
    )
    access, limits = asked.rows("pages/chain_access"), asked.rows("pages/chain_limits")
    rows = ChainRows(
        tests,
        own,
        _of(asked, "pages/chain_matrix"),
        access[access["appliance_kind"] == subject.kind],
        limits[limits["appliance_kind"] == subject.kind],
    )
    proposal = propose(rows)
    walked = steps(proposal.chain, proposal.best.tests)
    return bench_card(rows, walked, _of(asked, "pages/chain_before_closing"), labels, cautions())


def _of(asked: _Asked, name: str) -> pd.DataFrame:
    table, subject = asked.rows(name), asked.subject
    is_kind = table["appliance_kind"] == subject.kind
    return table[is_kind & (table["symptom"] == subject.complaint)]


def _repairs(asked: _Asked) -> pd.DataFrame:
    """Return the repairs of the complaint; with flat rates for a reader who may see them.

    Columns repair_code, jobs, near_jobs, median_min, planned_minutes, proposed_rate. The rates are
    those of the page of flat rates: of the repair on this kind, whatever the complaint.
    """
    repairs = asked.rows("pages/sheet_repairs")
    if not asked.snapshot.reader.opens("flat_rate"):
        return repairs.assign(planned_minutes=None, proposed_rate=None)
    rates = measure(asked.snapshot, "flat_rate", asked.filters)
    rates = rates[rates["appliance_kind"] == asked.subject.kind]
    wanted = rates[["repair_code", "planned_minutes", "proposed_rate"]]
    return repairs.merge(wanted, how="left", on="repair_code")
