"""A reading → the text that parse_value reads as the same reading."""

from decimal import Decimal

from etl.readings.value import Value

WORDS = {
    "absent": "no voltage",
    "unstable": "erratic",
    "verdict_pass": "good",
    "verdict_fail": "bad",
    "seen_inside": "inside",
    "seen_outside": "outside",
    "seen_text": "seen",
}
SPELLED = {"K": "kelvin", "1": ""}  # a bare K would be kilo-ohm
OF_QUANTITY = {"AC voltage": "VAC", "DC voltage": "VDC"}


def format_value(value: Value) -> str:
    """Write a parsed value so that parse_value gives the same reading again.

    The number stands in the base unit with every digit. Raises ValueError for a refused value,
    which has no reading.
    """
    if value.problem:
        raise ValueError(f"a refused value has no reading: {value.problem}")
    if value.is_open:
        return "OL"
    if value.is_closed:
        return "closed"
    if value.value is None:
        return WORDS[value.flags[0]]
    sign = "~" if "approximate" in value.flags else value.comparator
    unit = OF_QUANTITY.get(value.quantity or "") or SPELLED.get(value.unit or "", value.unit)
    return f"{sign}{Decimal(repr(value.value)):f} {unit}".rstrip()
