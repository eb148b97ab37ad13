"""One reading of a note: where, what, and what the note says next to it."""

from dataclasses import dataclass, replace

from etl.readings.notes.items import Item
from etl.readings.value import Value

FILE_TEMPERATURE = "temperature_unit_of_file"


@dataclass(frozen=True)
class NoteReading:
    """One reading of a note; test_point is None where the reading is understood but not its place.

    A refused value keeps its reason in value.problem. nameplate is in the unit of the value,
    temperature_cel is what the note says of the part's temperature.
    """

    test_point: str | None
    value: Value
    text: str
    component: str | None = None
    nameplate: float | None = None
    temperature_cel: float | None = None


def flagged(value: Value, *flags: str) -> Value:
    """Return the value with these inferences named; a refused value stays as it is."""
    if not flags or value.problem:
        return value
    outcome = "parsed_with_inference" if value.outcome == "parsed" else value.outcome
    return replace(value, outcome=outcome, flags=(*value.flags, *flags))


def with_remarks(noted: NoteReading, remarks: tuple[Item, ...]) -> NoteReading:
    """Return the reading with its nameplate, temperature, and `room` or `hot` as a flag."""
    for remark in remarks:
        if remark.role == "temperature_noted" and remark.number is None:
            noted = replace(noted, value=flagged(noted.value, "temperature_dropped"))
        elif remark.role == "temperature_noted":
            noted = replace(noted, temperature_cel=remark.number)
        elif remark.role == "nameplate" and noted.value.quantity == "capacitance":
            noted = replace(noted, nameplate=remark.number)
        elif remark.role in ("room", "hot"):
            flags = (*noted.value.flags, f"{remark.role}_noted")
            noted = replace(noted, value=replace(noted.value, flags=flags))
    return noted
