"""What can be wrong with a row, as polars columns: code@field where it is, null where not."""

import polars as pl


def fault(code: str, field: str, where: pl.Expr) -> pl.Expr:
    """Return a column that holds code@field where a row cannot be used."""
    return pl.when(where).then(pl.lit(f"{code}@{field}")).alias(f"fault {code}@{field}")


def missing(field: str) -> pl.Expr:
    """Return the fault of an empty field."""
    return fault("missing", field, pl.col(field).is_null())


def unread(code: str, field: str, parsed: str) -> pl.Expr:
    """Return the fault of a text that nothing was made of."""
    return fault(code, field, pl.col(field).is_not_null() & pl.col(parsed).is_null())


def orphans() -> list[pl.Expr]:
    """Return the faults of rows whose job is not named, not known, or itself refused."""
    is_known = pl.col("is_known").is_not_null()
    return [
        missing("job_id"),
        fault("no_such_job", "job_id", pl.col("job_id").is_not_null() & ~is_known),
        fault("parent_quarantined", "job_id", is_known & pl.col("kind").is_null()),
    ]
