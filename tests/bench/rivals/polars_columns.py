"""What each column of text means, as polars expressions."""

from pathlib import Path

import polars as pl

from tests.bench.rivals import lookups


def read(folder: Path, name: str) -> pl.LazyFrame:
    """Return the rows of every file of one table, as text."""
    return pl.scan_csv(folder / f"{name}_*.csv", infer_schema=False)


def folded(field: str) -> pl.Expr:
    """Return words in small letters, one blank between them."""
    plain = pl.col(field).str.to_lowercase().str.replace_all(r"['’`]", "")
    return plain.str.replace_all(r"[^\p{L}\p{N}]+", " ").str.strip_chars()


def days(field: str) -> pl.Expr:
    """Return the day that a text means in the first form that fits."""
    text = pl.col(field)
    return pl.coalesce(text.str.to_date(form, strict=False) for form in lookups.DAYS)


def clocks(field: str) -> pl.Expr:
    """Return the time that a text means in the first form that fits."""
    text = pl.col(field)
    return pl.coalesce(
        text.str.to_datetime(form, strict=False, time_unit="us") for form in lookups.CLOCKS
    )


def money(field: str) -> pl.Expr:
    """Return amounts without their currency."""
    plain = pl.col(field).str.replace_all(r"[$€£,]|\b[A-Z]{3}\b", "").str.strip_chars()
    return plain.cast(pl.Float64, strict=False)


def minutes(field: str) -> pl.Expr:
    """Return minutes written as 80, 80 min, 1:20 or 1h20."""
    text = pl.col(field)
    hours, rest = (text.str.extract(r"^(\d+)[:h](\d{2})$", i).cast(pl.Float64) for i in (1, 2))
    return pl.coalesce(text.str.extract(r"^(\d+) ?(?:m|min)?$").cast(pl.Float64), hours * 60 + rest)


def flag(field: str) -> pl.Expr:
    """Return yes and no as truth."""
    text = pl.col(field).str.to_lowercase()
    yes, no = text.is_in(lookups.YES), text.is_in(lookups.NO)
    return pl.when(yes).then(True).when(no).then(False)


def meaning(field: str) -> pl.Expr:
    """Return the id of a word that means the same for every kind of appliance."""
    return folded(field).replace_strict(lookups.kind_of_word(field), default=None)


def named(rows: pl.LazyFrame, field: str) -> pl.LazyFrame:
    """Add the ids of one column of words: of any kind, else of the kind of appliance."""
    words, id_ = lookups.words(field), f"{field}_id"
    of_any = {word: meant for kind, word, meant in words if not kind}
    asked = rows.with_columns(folded(field).alias("word"))
    found = asked.join(_frame(words, "kind", "word", id_), how="left", on=["kind", "word"])
    any_kind = pl.col("word").replace_strict(of_any, default=None, return_dtype=pl.String)
    return found.with_columns(pl.coalesce(any_kind, id_).alias(id_)).drop("word")


def measured(rows: pl.LazyFrame) -> pl.LazyFrame:
    """Add number, state and problem of each written value."""
    joined = _looked_up(_split(rows))
    is_number = pl.col("state").is_null() & pl.col("number").is_not_null()
    factor = pl.when(pl.col("unit_word").is_null()).then("usual").otherwise("factor")
    is_unread = pl.col("number").is_null() | factor.is_null()
    is_other = pl.all_horizontal(pl.col("of", "quantity").is_not_null()) & pl.col("fits").is_null()
    is_bare = pl.col("number").is_not_null() & pl.col("unit_word").is_null() & factor.is_null()
    number = pl.when(is_number).then(pl.col("number") * factor)
    measured_as = pl.coalesce("quantity", "of")
    is_beyond = number > measured_as.replace_strict(lookups.highest(), default=None)
    problem = (
        pl.when(pl.col("state").is_not_null())
        .then(pl.col("state").replace_strict(lookups.REFUSED, default=None))
        .when(is_bare)
        .then(pl.lit(lookups.REFUSED["unit"]))
        .when(is_unread)
        .then(pl.lit(lookups.REFUSED["number"]))
        .when(is_other)
        .then(pl.lit(lookups.REFUSED["quantity"]))
        .when(is_beyond)
        .then(pl.lit(lookups.REFUSED["beyond"]))
    )
    return joined.with_columns(number.alias("base_value"), problem.alias("problem"))


def _split(rows: pl.LazyFrame) -> pl.LazyFrame:
    """Take each value apart: a state, or a number and the unit after it."""
    text = pl.col("value").str.strip_chars()
    coded = text.str.contains(r"^\d+R\d+$")  # 9R4: the letter is the point, the unit is ohm
    digits = text.str.extract(r"^(\d*\.?\d+) ?.*$")
    tail = text.str.extract(r"^\d*\.?\d+ ?([^\d.].*)$")
    number = pl.when(coded).then(text.str.replace("R", ".")).otherwise(digits)
    return rows.with_columns(
        text.str.to_lowercase().replace_strict(lookups.states(), default=None).alias("state"),
        number.cast(pl.Float64, strict=False).alias("number"),
        pl.when(coded).then(pl.lit("R")).otherwise(pl.coalesce(tail, "unit")).alias("unit_word"),
    )


def _looked_up(rows: pl.LazyFrame) -> pl.LazyFrame:
    """Add the quantity of each test point, and factor and quantity of each unit."""
    points = _frame(lookups.quantities(), "test_point_id", "quantity", "usual")
    units = _frame(lookups.units(), "unit_word", "factor", "of")
    fits = _frame(lookups.fitting(), "quantity", "of").with_columns(pl.lit(True).alias("fits"))
    rows = rows.join(points, how="left", on="test_point_id").join(units, how="left", on="unit_word")
    return rows.join(fits, how="left", on=["quantity", "of"])


def _frame(rows: list[tuple], *columns: str) -> pl.LazyFrame:
    return pl.LazyFrame(rows, schema=list(columns), orient="row")
