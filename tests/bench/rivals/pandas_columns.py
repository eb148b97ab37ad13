"""What each column of text means, in pandas."""

from pathlib import Path

import pandas as pd

from tests.bench.rivals import lookups


def read(folder: Path, name: str) -> pd.DataFrame:
    """Return the rows of every file of one table, as text."""
    files = sorted(folder.glob(f"{name}_*.csv"))
    return pd.concat([pd.read_csv(file, dtype=str) for file in files], ignore_index=True)


def folded(texts: pd.Series) -> pd.Series:
    """Return words in small letters, one blank between them."""
    plain = texts.str.lower().str.replace(r"['’`]", "", regex=True)
    return plain.str.replace(r"[\W_]+", " ", regex=True).str.strip()


def times(texts: pd.Series, forms: tuple[str, ...]) -> pd.Series:
    """Return the times that a text means in the first form that fits."""
    found = pd.Series(pd.NaT, index=texts.index, dtype="datetime64[us]")
    for form in forms:
        left = texts[found.isna() & texts.notna()]
        parsed = pd.to_datetime(left, format=form, errors="coerce")
        found = found.fillna(parsed.astype("datetime64[us]"))
    return found


def money(texts: pd.Series) -> pd.Series:
    """Return amounts without their currency."""
    plain = texts.str.replace(r"[$€£,]|\b[A-Z]{3}\b", "", regex=True).str.strip()
    return pd.to_numeric(plain, errors="coerce")


def minutes(texts: pd.Series) -> pd.Series:
    """Return minutes written as 80, 80 min, 1:20 or 1h20."""
    clock = texts.str.extract(r"^(\d+)[:h](\d{2})$").astype(float)
    plain = texts.str.extract(r"^(\d+) ?(?:m|min)?$")[0].astype(float)
    return plain.fillna(clock[0] * 60 + clock[1])


def flags(texts: pd.Series) -> pd.Series:
    """Return yes and no as truth."""
    meaning = dict.fromkeys(lookups.YES, True) | dict.fromkeys(lookups.NO, False)
    return texts.str.lower().map(meaning).astype("boolean")


def named(table: pd.DataFrame, field: str) -> pd.Series:
    """Return the ids of one column of words: of any kind, else of the kind of appliance."""
    known = pd.DataFrame(lookups.words(field), columns=["kind", "word", "id"])
    asked = pd.DataFrame({"kind": table["kind"], "word": folded(table[field])})
    ids = asked.merge(known, how="left", on=["kind", "word"])["id"].set_axis(table.index)
    of_any = asked["word"].map(known[known["kind"] == ""].set_index("word")["id"])
    return ids.mask(of_any.notna(), of_any)


def measured(values: pd.Series, units: pd.Series, points: pd.Series) -> pd.DataFrame:
    """Return number, state and problem of each written value, given its unit and test point."""
    text = values.str.strip()
    state = text.str.lower().map(lookups.states())
    coded = text.str.extract(r"^(\d+)R(\d+)$")  # 9R4: the letter is the point, the unit is ohm
    split = text.str.extract(r"^(\d*\.?\d+) ?(.*)$")
    number = pd.to_numeric((coded[0] + "." + coded[1]).fillna(split[0]))
    unit = split[1].mask(split[1] == "").fillna(units).mask(coded[0].notna(), "R")
    asked = _looked_up(points, unit)
    fits = pd.MultiIndex.from_frame(asked[["quantity", "of"]]).isin(lookups.fitting())
    fits |= asked["quantity"].isna()  # at an unknown test point every unit is taken
    factor = asked["factor"].where(unit.notna(), asked["usual"])
    is_number = state.isna() & number.notna()
    is_unread = state.isna() & (number.isna() | factor.isna())
    problem = state.map(lookups.REFUSED).mask(is_unread, lookups.REFUSED["number"])
    problem = problem.mask(is_number & asked["of"].notna() & ~fits, lookups.REFUSED["quantity"])
    problem = problem.mask(is_number & unit.isna() & factor.isna(), lookups.REFUSED["unit"])
    base = (number * factor).where(is_number)
    most = asked["quantity"].fillna(asked["of"]).map(lookups.highest())
    problem = problem.mask(problem.isna() & (base > most), lookups.REFUSED["beyond"])
    return pd.DataFrame(
        {
            "base_value": base,
            "is_open": state == "open",
            "is_closed": state == "closed",
            "problem": problem,
        }
    )


def _looked_up(points: pd.Series, units: pd.Series) -> pd.DataFrame:
    """Return the quantity of each test point, and factor and quantity of each unit."""
    quantities = pd.DataFrame(lookups.quantities(), columns=["test_point", "quantity", "usual"])
    factors = pd.DataFrame(lookups.units(), columns=["unit", "factor", "of"])
    asked = pd.DataFrame({"test_point": points, "unit": units})
    asked = asked.merge(quantities, how="left", on="test_point")
    return asked.merge(factors, how="left", on="unit").set_axis(points.index)
