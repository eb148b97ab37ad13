"""What both rivals look up, from the same files as the loader: words, units, forms of dates."""

import os
from pathlib import Path

import sql
from etl.folder.shop_key import unit_key
from etl.personal.keyed_hash import keyed
from tests.bench.messy_words import vocabulary

DAYS = ("%Y-%m-%d", "%Y/%m/%d", "%d %b %Y", "%B %d, %Y")
CLOCKS = tuple(f"{day} {clock}" for clock in ("%H:%M", "%I:%M %p") for day in DAYS)
STATES = ("open", "closed", "ambiguous", "unclear", "verdict_pass", "verdict_fail")
REFUSED = {
    "ambiguous": "reading_ambiguous",
    "unclear": "reading_second_point_missing",
    "number": "reading_not_understood",
    "quantity": "reading_unit_of_other_quantity",
    "unit": "reading_unit_missing",
    "beyond": "reading_not_believable",
}
YES = ("yes", "y", "true", "t", "1", "x")
NO = ("no", "n", "false", "f", "0")


def words(field: str) -> list[tuple[str, str, str]]:
    """Return (kind, folded word, id) of one field; kind '' = any kind."""
    return [(kind, word, id_) for name, kind, word, id_ in vocabulary() if name == field]


def kind_of_word(field: str) -> dict[str, str]:
    """Return folded word → id of a field whose words mean the same for every kind."""
    return {word: id_ for _, word, id_ in words(field)}


def states() -> dict[str, str]:
    """Return word → state, for a meter's words in small letters."""
    return {
        word.lower(): row["meaning"]
        for row in sql.lookup("reading_words")
        if row["meaning"] in STATES
        for word in row["words"].split("|")
    }


def units() -> list[tuple[str, float, str]]:
    """Return (spelling, factor to the base unit, quantity), in small letters and with a capital too."""
    found = {}
    for row in sql.lookup("units"):
        for spelling in row["spellings"].split("|"):
            meaning = (float(row["factor_to_base"]), row["quantity"])
            found[spelling] = meaning
            for form in (spelling.lower(), spelling.capitalize()):
                found.setdefault(form, meaning)
    found["µF"] = found["uF"]  # the micro sign as well as the Greek letter
    return [(spelling, *meaning) for spelling, meaning in found.items()]


def quantities() -> list[tuple[str, str, float]]:
    """Return (test point, its quantity, factor of a bare number)."""
    factors = {row["ucum"]: float(row["factor_to_base"]) for row in sql.lookup("units")}
    usual = {row["quantity"]: row["usual_ucum"] for row in sql.lookup("quantities")}
    return [
        (row["test_point"], row["quantity"], factors.get(usual[row["quantity"]], 1.0))
        for row in sql.lookup("test_points")
    ]


def fitting() -> list[tuple[str, str]]:
    """Return (quantity of a test point, quantity of a unit that may stand there)."""
    return [
        (row["quantity"], unit)
        for row in sql.lookup("quantities")
        for unit in row["unit_quantities"].split("|")
    ]


def highest() -> dict[str, float]:
    """Return quantity → the most that anything can show, in the base unit."""
    found: dict[str, float] = {}
    for row in sql.lookup("quantities"):
        for unit in row["unit_quantities"].split("|"):
            found[unit] = max(found.get(unit, 0.0), float(row["high"] or "inf"))
    own = {row["quantity"]: float(row["high"] or "inf") for row in sql.lookup("quantities")}
    return found | own


def keys(serials: list[str]) -> dict[str, str]:
    """Return serial → keyed hash, with the key of the folder that OHMHOURS_BENCH_KEY names."""
    secret = unit_key(Path(os.environ["OHMHOURS_BENCH_KEY"]))
    return {serial: keyed(secret, serial) for serial in serials}
