"""Small exports of invented shops, loaded by a mapping that a test writes down in short."""

from pathlib import Path
from typing import Any

from etl.load import load
from etl.load_report import Account, FileAccount
from etl.mapping.mapping import Mapping, mapping_from

JOB_COLUMNS = {
    "job_id": "Job",
    "opened_on": "In",
    "closed_on": "Out",
    "appliance_kind": "Unit",
    "disposition": "End",
}


def mapping(name: str, *tables: dict[str, Any], **habits: Any) -> Mapping:
    """Return a checked mapping of the tables."""
    return mapping_from({"name": name, "table": list(tables), **habits}, f"{name}.toml")


def jobs_table(**columns: str | list[str]) -> dict[str, Any]:
    """Return a jobs table with the columns every export here has, and those named."""
    return {"table": "jobs", "columns": JOB_COLUMNS | columns}


def write(path: Path, text: str) -> Path:
    """Write an export, its folder made."""
    path.parent.mkdir(parents=True, exist_ok=True)
    path.write_text(text, encoding="utf-8")
    return path


def loaded(path: Path | list[Path], folder: Path, by: Mapping | None = None, **how: Any) -> Account:
    """Load one export or several."""
    return load(path if isinstance(path, list) else [path], folder, mapping=by, **how)


def of_table(account: Account, table: str) -> FileAccount:
    """Return the account of the one source that holds the table."""
    (found,) = [file for file in account.files if file.table == table]
    return found
