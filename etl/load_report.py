"""What became of every row of a load, and the check that none was lost."""

from collections.abc import Iterable
from dataclasses import asdict, dataclass, field, replace
from typing import Any

import duckdb

import sql
from etl.folder.errors import UserError
from etl.mapping.match import Claim

MADE_NUMBERS = (
    "job numbers were made of day and customer, since the file has none; a row without a "
    "customer waits"
)


class AccountError(UserError):
    """Rows were lost or counted twice: a fault of the program, never of the records."""


@dataclass(frozen=True)
class FileAccount:
    """The rows of one table of one file, each counted once."""

    file: str
    sheet: str | None
    table: str
    mapping: str
    read: int
    loaded: int
    duplicate: int
    superseded: int
    quarantined: int
    reasons: dict[str, int] = field(default_factory=dict)
    unmapped: str = ""
    missing: str = ""
    notes: tuple[str, ...] = ()

    @property
    def is_balanced(self) -> bool:
        """Say whether read = loaded + duplicate + superseded + quarantined."""
        return self.read == self.loaded + self.duplicate + self.superseded + self.quarantined


@dataclass(frozen=True)
class Account:
    """The accounts of all files of one load."""

    files: tuple[FileAccount, ...]
    unclaimed: tuple[str, ...] = ()
    unknown_words: tuple[tuple[str, str, str, int], ...] = ()
    jobs_held: tuple[int, ...] = ()  # by each of the unknown words
    published: bool = True
    asked: tuple[tuple[str, str], ...] = ()
    carried: str = ""

    @property
    def quarantined(self) -> int:
        """Count the rows in quarantine over all files of the load."""
        return sum(account.quarantined for account in self.files)

    def check_balance(self) -> None:
        """Raise AccountError when a file's rows do not add up."""
        for account in self.files:
            if not account.is_balanced:
                raise AccountError(
                    f"{account.file}: {account.read} rows read, but loaded {account.loaded}, "
                    f"duplicate {account.duplicate}, superseded {account.superseded}, quarantined "
                    f"{account.quarantined} do not add up to it; nothing was published"
                )

    def as_json(self) -> dict[str, Any]:
        """Return the account in the form that `ohmhours load --json` prints."""
        return {
            "files": [asdict(account) for account in self.files],
            "unclaimed": list(self.unclaimed),
            "unknown_words": [
                {"field": f, "appliance_kind": kind, "text": text, "rows": rows}
                for f, kind, text, rows in self.unknown_words
            ],
            "published": self.published,
            "asked": [{"option": option, "message": message} for option, message in self.asked],
            "carried": self.carried,
        }


def _of_repeated(claim: Claim) -> FileAccount:
    assert claim.row_count is not None  # land_all sets the count that is stored
    return FileAccount(
        claim.source.shown_file,
        claim.source.shown_sheet,
        claim.table.table,
        claim.mapping.name,
        read=claim.row_count,
        loaded=0,
        duplicate=claim.row_count,
        superseded=0,
        quarantined=0,
    )


def account_of(
    connection: duckdb.DuckDBPyConnection,
    load_no: int,
    repeated: list[Claim],
    unclaimed: list[str],
) -> Account:
    """Read the account of one load from the database that was just built.

    A table whose file and mapping were loaded before is not stored again: its rows are duplicates.
    """
    rows = connection.execute(sql.text("load_report/files"), {"load_no": load_no}).fetchall()
    reasons = _reasons(connection)
    accounts = [
        FileAccount(
            file, sheet, table, mapping, read, loaded, duplicate, superseded, quarantined,
            reasons.get(source_id, {}), unmapped, missing,
        )
        for source_id, file, sheet, table, mapping, read, loaded, duplicate, superseded,
        quarantined, unmapped, missing in rows
    ]  # fmt: skip
    accounts += [_of_repeated(claim) for claim in repeated]
    words = connection.execute(sql.text("pages/unknown_words")).fetchall()
    accounts.sort(key=lambda account: (account.file, account.sheet or ""))
    return Account(
        tuple(accounts),
        tuple(unclaimed),
        tuple(row[:4] for row in words),
        jobs_held=tuple(row[-1] for row in words),
    )


def with_notes(account: Account, claims: Iterable[Claim]) -> Account:
    """Return the account with what the readers noted of each file, such as title lines left out."""
    notes = {
        (c.source.shown_file, c.source.shown_sheet, c.table.table): (
            *c.source.notes,
            *([MADE_NUMBERS] if c.table.make_job_number else []),
        )
        for c in claims
    }
    files = tuple(
        replace(file, notes=notes.get((file.file, file.sheet, file.table), ()))
        for file in account.files
    )
    return replace(account, files=files)


def _reasons(connection: duckdb.DuckDBPyConnection) -> dict[int, dict[str, int]]:
    reasons: dict[int, dict[str, int]] = {}
    for source_id, code, rows in connection.execute(sql.text("load_report/reasons")).fetchall():
        reasons.setdefault(source_id, {})[code] = rows
    return reasons
