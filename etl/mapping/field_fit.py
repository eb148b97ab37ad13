"""Whether the values of a column can be a field's: −1 no, 0 perhaps, up to 1 very likely."""

from collections.abc import Callable

from etl.mapping.column_values import ColumnValues

MOST = 0.8  # share of the values that must have a field's shape
SOME = 0.4  # share of amounts that a column of money with remarks in it still has
NEVER = -1.0
ENOUGH = 8  # values, below which it says little how they repeat
Fit = Callable[[ColumnValues], float]


def fit(field: str, values: ColumnValues) -> float:
    """Return how well the values suit a field; an empty column says nothing."""
    if not values.count:
        return 0.0
    is_list = values.shares["json"] > 0.5  # of a nested file: its records are a table of their own
    if is_list or (field != "customer" and _is_contact(values, field)):
        return NEVER
    suits = FITS.get(field, _any)(values)
    return suits if suits < 0 else suits * min(1, values.count / ENOUGH)


def _is_contact(values: ColumnValues, field: str) -> bool:
    """Return True for phone numbers, mail addresses and street addresses: never stored."""
    share = values.shares
    if share["email"] > 0.5:
        return True
    if max(share[shape] for shape in ("date", "code", "clock", "money", "duration")) > 0.5:
        return False
    return share["phone"] > MOST or (share["address"] > 0.6 and field != "notes")


def _any(values: ColumnValues) -> float:
    return 0.0


def _date(values: ColumnValues) -> float:
    if values.shares["day_number"] > MOST:
        return 0.0  # only under a header that says so
    share = values.shares["date"]
    return 0.3 if share > MOST else 0.0 if share > 0.5 else NEVER


def _moment(values: ColumnValues) -> float:
    if values.shares["moment"] > 0.5:
        return 0.4
    if values.shares["clock"] > MOST:
        return 0.2
    return 0.0 if max(values.shares["date"], values.shares["day_number"]) > MOST else NEVER


def _minutes(values: ColumnValues) -> float:
    share = values.shares
    if share["symbol"] > 0.2 or share["date"] > 0.5:
        return NEVER
    if share["duration"] > 0.5 or share["clock"] > MOST:
        return 0.4
    is_size = values.median is not None and values.median <= 600
    return 0.1 if share["number"] + share["duration"] > MOST and is_size else NEVER


def _money(values: ColumnValues) -> float:
    share = values.shares
    if share["duration"] > 0.5 or share["date"] > 0.5:
        return NEVER
    if share["number"] < MOST:  # "see bill" among a few amounts: only a plain name makes it money
        return -0.2 if share["number"] >= SOME else NEVER
    return 0.3 if share["symbol"] > 0.5 else 0.2 if share["money"] > 0.7 else 0.0


def _small_count(values: ColumnValues) -> float:
    is_numbering = values.count >= ENOUGH and values.uniqueness > 0.9
    return 0.2 if values.shares["small"] > 0.9 and not is_numbering else NEVER


def _line_quantity(values: ColumnValues) -> float:
    share = values.shares
    return 0.1 if share["number"] > MOST and not share["symbol"] else NEVER


def _key(values: ColumnValues) -> float:
    share = values.shares
    if share["date"] > 0.5 or share["symbol"] > 0.2 or values.words > 2.5:
        return NEVER
    if share["money"] > 0.5:
        return NEVER
    if share["code"] > MOST and values.uniqueness > 0.95:
        return 0.2
    return 0.1 if share["code"] > MOST and share["small"] < 0.5 else -0.2


def _technician(values: ColumnValues) -> float:
    share = values.shares
    if share["date"] > 0.3 or share["money"] > 0.5 or values.words > 3.5:
        return NEVER
    few = values.distinct <= max(3, 0.5 * values.count) or values.count < ENOUGH
    return (0.2 if share["letters"] > MOST else 0.0) if few else -0.3


def _customer(values: ColumnValues) -> float:
    share = values.shares
    if share["date"] > 0.5 or share["symbol"] > 0.2 or share["postcode"] > 0.5:
        return NEVER
    return -0.3 if share["email"] + share["phone"] > 0.5 else 0.0


def _few(values: ColumnValues) -> float:
    share = values.shares
    if share["date"] > 0.3 or share["money"] > 0.5 or share["clock"] > 0.5 or values.words > 4:
        return NEVER
    return 0.1 if values.distinct <= max(6, 0.3 * values.count) else -0.2


def _supplier(values: ColumnValues) -> float:
    share = values.shares
    if max(share[shape] for shape in ("date", "money", "clock", "boolean")) > 0.5:
        return NEVER
    is_numbering = values.count >= ENOUGH and values.uniqueness > 0.9 and share["letters"] < MOST
    return NEVER if is_numbering or values.words > 5 else 0.1 if share["letters"] > MOST else 0.0


def _words(field: str) -> Fit:
    def fit_of(values: ColumnValues) -> float:
        share = values.shares
        if share["date"] > 0.3 or share["money"] > 0.5 or share["phone"] > 0.5:
            return NEVER
        if share["number"] > MOST and field != "repair_code":
            return NEVER
        return 0.5 * share[field]

    return fit_of


def _model(values: ColumnValues) -> float:
    share = values.shares
    return NEVER if share["date"] > 0.5 or share["money"] > 0.5 or values.words > 4 else 0.0


def _serial(values: ColumnValues) -> float:
    share = values.shares
    if share["date"] > 0.5 or share["money"] > 0.5 or values.words > 3:
        return NEVER
    return 0.2 if share["code"] > MOST and values.uniqueness > 0.8 else 0.0


def _part_no(values: ColumnValues) -> float:
    share = values.shares
    if share["money"] > 0.5 or share["date"] > 0.5 or share["small"] > 0.5 or values.words > 3:
        return NEVER
    return 0.3 if share["code"] > MOST else -0.4


def _parts_cell(values: ColumnValues) -> float:
    share = values.shares
    if share["number"] > MOST or share["money"] > 0.5 or share["letters"] > MOST:
        return NEVER
    return 0.2


def _share(name: str, least: float = 0.7, reward: float = 0.3) -> Fit:
    return lambda values: reward if values.shares[name] >= least else NEVER


def _notes(values: ColumnValues) -> float:
    return 0.2 if values.words > 4 else 0.0 if values.words > 2 else -0.3


FITS: dict[str, Fit] = {
    **dict.fromkeys(("opened_on", "closed_on"), _date),
    **dict.fromkeys(("arrived_at", "left_at"), _moment),
    **dict.fromkeys(("minutes_on_job", "travel_minutes", "minutes", "line_minutes"), _minutes),
    **dict.fromkeys(
        (
            "charged", "parts_charged", "labour_charged", "unit_cost", "unit_charge",
            "line_amount", "line_price", "tax", "line_tax", "charged_with_tax",
            "line_amount_with_tax",
        ),
        _money,
    ),
    "tax_rate": _share("percent", MOST, 0.2),
    "line_quantity": _line_quantity,
    **dict.fromkeys(("quantity", "visit_no", "visit_count", "seq"), _small_count),
    **dict.fromkeys(("job_id", "callback_of"), _key),
    **dict.fromkeys(("branch", "brand", "fuel", "meter", "state"), _few),
    **{
        name: _words(name)
        for name in (
            "appliance_kind", "symptom", "root_cause", "repair_code", "disposition", "outcome",
            "component", "test_point",
        )
    },
    **dict.fromkeys(("from_van", "on_hand"), _share("boolean")),
    "technician": _technician,
    "supplier": _supplier,
    "customer": _customer,
    "model": _model,
    "serial": _serial,
    "built_year": _share("year"),
    "part_no": _part_no,
    "parts": _parts_cell,
    "notes": _notes,
    "value": _share("reading", 0.6),
    "unit": _share("uom", 0.6, 0.4),
    "line_unit": _share("line_unit", 0.8, 0.4),
    "ambient": _share("reading", 0.6, 0.1),
    "nameplate": _share("reading", 0.6, 0.1),
    "currency": _share("currency"),
}  # fmt: skip
