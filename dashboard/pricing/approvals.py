"""Prices that the shop approved: a file of the database folder, every step of it kept.

prices.csv grows by a row for each approval and each undo; nothing in it is ever changed. A price
that is undone gives way to the one approved before it.
"""

import csv
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from datetime import UTC, date, datetime
from io import StringIO
from pathlib import Path
from typing import Annotated, Literal

from pydantic import BaseModel, ConfigDict, Field, ValidationError

from dashboard.access.page_roles import OWNER, PRICING
from dashboard.access.reader import Refused, reader
from dashboard.errors import UserError
from etl.csv_formula_guard import plain
from etl.folder.atomic_write import write_whole
from etl.folder.errors import shown_value
from etl.folder.one_change import PRICES, one_change
from etl.folder.regular_file import small_text

APPROVE, UNDO = "approve", "undo"
MOST_PRICE = 1_000_000.0
Money = Annotated[float, Field(ge=0, le=MOST_PRICE, allow_inf_nan=False)]


class PricesError(UserError):
    """The file of approved prices cannot be used or changed; the message names file and line."""


class Step(BaseModel):
    """One approval, or the undo of the last one of that repair.

    `side`: quick or slow models where the repair has two prices, else empty. `records_through`:
    the last day of the records that the price rests on; `parts_cost`: of one job in them.
    """

    model_config = ConfigDict(frozen=True, extra="forbid")
    written_at: datetime
    role: str
    action: Literal["approve", "undo"]
    appliance_kind: str
    repair_code: str
    side: Literal["", "quick", "slow"] = ""
    models: str = ""
    price: Money | None = None
    old_price: Money | None = None
    currency: str = ""
    effective_on: date | None = None
    records_through: date | None = None
    parts_cost: Money | None = None
    jobs: Annotated[int, Field(ge=0)] | None = None

    @property
    def key(self) -> tuple[str, str, str]:
        return self.appliance_kind, self.repair_code, self.side


COLUMNS = list(Step.model_fields)
Key = tuple[str, str, str]


@dataclass(frozen=True)
class Approvals:
    """Every step, oldest first, and the price now approved of each repair."""

    steps: tuple[Step, ...] = ()

    @property
    def current(self) -> dict[Key, Step]:
        """Return the approval that stands for each repair; none where all were undone."""
        standing: dict[Key, list[Step]] = {}
        for step in self.steps:
            of_key = standing.setdefault(step.key, [])
            if step.action == APPROVE:
                of_key.append(step)
            elif of_key:
                of_key.pop()
        return {key: steps[-1] for key, steps in standing.items() if steps}


def read_approvals(folder: Path) -> Approvals:
    """Return the approved prices of a database folder; none without the file.

    Raises PricesError that names the line and the column that cannot be used.
    """
    path = folder / PRICES
    try:
        rows = list(csv.reader(StringIO(small_text(path)), strict=True))
    except (FileNotFoundError, NotADirectoryError):
        return Approvals()
    except (OSError, ValueError, csv.Error) as error:
        raise PricesError(
            f"{path}: cannot be read ({error}); bring it back from a backup"
        ) from None
    if not rows or rows[0] != COLUMNS:
        raise PricesError(f"{path}, line 1: wanted the columns {', '.join(COLUMNS)}")
    return Approvals(tuple(_step(path, n, row) for n, row in enumerate(rows[1:], 2) if row))


def _step(path: Path, line: int, row: Sequence[str]) -> Step:
    if len(row) != len(COLUMNS):
        raise PricesError(f"{path}, line {line}: {len(row)} cells; wanted {len(COLUMNS)}")
    given = {name: cell for name, cell in zip(COLUMNS, row, strict=True) if cell != ""}
    try:
        step = Step.model_validate(given)
    except ValidationError as error:
        first = error.errors()[0]
        name = str(first["loc"][0])
        raise PricesError(
            f"{path}, line {line}: {name} is {shown_value(given.get(name, ''))}; "
            f"{first['msg'][:80]}; correct that line"
        ) from None
    if step.action == APPROVE and (step.price is None or step.effective_on is None):
        raise PricesError(f"{path}, line {line}: an approval needs price and effective_on")
    return step


def may_approve() -> bool:
    """Return True if the current user may approve prices."""
    return reader().role in (OWNER, PRICING)


def approve(folder: Path, steps: Iterable[Step]) -> None:
    """Add approvals to the file in one step. Raises Refused, PricesError."""
    added = list(steps)
    _add(folder, lambda _: added)


def undo(folder: Path, key: Key) -> Step:
    """Take back the last approval of a repair; the one before it stands again; return it.

    Raises PricesError when none stands, Refused.
    """
    kind, code, side = key

    def step(approvals: Approvals) -> list[Step]:
        if key not in approvals.current:
            raise PricesError(f"{kind}/{code}: no approved price stands, so none can be undone")
        return [_now(action=UNDO, appliance_kind=kind, repair_code=code, side=side)]

    return _add(folder, step)[0]


def approval(**values: object) -> Step:
    """Return an approval by the current user, now; raise PricesError for a wrong price."""
    try:
        return _now(action=APPROVE, **values)
    except ValidationError as error:
        first = error.errors()[0]
        raise PricesError(
            f"{first['loc'][0]} is {shown_value(first['input'])}; {first['msg'][:80]}; "
            "nothing was approved"
        ) from None


def _now(**values: object) -> Step:
    at = datetime.now(UTC).replace(microsecond=0)
    return Step.model_validate({"written_at": at, "role": reader().role, **values})


def _add(folder: Path, wanted: Callable[[Approvals], list[Step]]) -> list[Step]:
    if not may_approve():
        raise Refused("Your role does not approve prices. Ask the owner of the shop.")
    try:
        with one_change(folder):
            approvals = read_approvals(folder)
            added = wanted(approvals)
            write_whole(folder / PRICES, _text([*approvals.steps, *added]).encode("utf-8"))
    except OSError as error:
        raise PricesError(f"{folder / PRICES}: cannot be written ({error.strerror})") from None
    return added


def _text(steps: Iterable[Step]) -> str:
    target = StringIO()
    writer = csv.writer(target, lineterminator="\n")
    writer.writerow(COLUMNS)
    for step in steps:
        cells = step.model_dump(mode="json")
        writer.writerow("" if cells[name] is None else plain(str(cells[name])) for name in COLUMNS)
    return target.getvalue()
