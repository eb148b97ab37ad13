"""What a mapping's TOML document may hold, by pydantic; every refusal is one line with its key."""

from collections.abc import Sequence
from datetime import date, datetime, time
from typing import Annotated, Any, Literal, get_args
from zoneinfo import ZoneInfo

from pydantic import (
    AfterValidator,
    BaseModel,
    ConfigDict,
    Field,
    StringConstraints,
    ValidationError,
)

from etl.folder.errors import UserError, shown_value
from etl.mapping.fields import TableName, fields_of

VocabularyField = Literal[
    "appliance_kind",
    "symptom",
    "root_cause",
    "repair_code",
    "disposition",
    "outcome",
    "component",
    "test_point",
    "line_type",
    "yes_no",
]
# spellings of one name are joined
NameField = Literal["technician", "branch", "brand", "model", "supplier"]
WordField = Literal[VocabularyField, NameField]
TimeField = Literal["minutes_on_job", "travel_minutes", "line_minutes"]
UnitField = Literal[TimeField, "line_quantity"]  # the quantity of labor lines may be their time
WORD_FIELDS: tuple[str, ...] = get_args(VocabularyField)
NAME_FIELDS: tuple[str, ...] = get_args(NameField)
TIME_FIELDS: tuple[str, ...] = get_args(TimeField)
MOST_CHARACTERS = 1000  # of one text: a header, a file pattern, a word
MOST_TABLES, MOST_ENTRIES = 100, 20_000
LINE_FIELDS = (
    "line_amount", "line_quantity", "line_price", "line_minutes", "line_unit", "line_tax",
    "line_amount_with_tax",
)  # fmt: skip
NET_OF = {  # without one of these, an amount with tax does not say what was charged
    "charged_with_tax": ("charged", "tax", "tax_rate", "line_amount"),
    "line_amount_with_tax": ("line_amount", "line_tax", "tax_rate"),
}
UNION_ARMS = ("str", "bool", "int", "float", "datetime", "date", "time")
KNOWN = "take it out, or correct its spelling (README, Your own records)"
WANTED = {
    "string_type": "text in quotes",
    "bool_type": "true or false",
    "list_type": "a list in brackets",
    "dict_type": "a table",
    "model_type": "a table",
    "string_too_long": f"at most {MOST_CHARACTERS} characters",
    "string_too_short": "a text that is not empty",
    "too_long": "fewer entries",
    "int_type": "a whole number",
    "greater_than_equal": "a number from 1 on",
    "less_than_equal": "a number up to 1000",
    "too_short": "at least one entry",
}


class MappingError(UserError):
    """A mapping that cannot be used; the message names the file and the key."""


def _known_zone(name: str) -> str:
    try:
        ZoneInfo(name)
    except (ValueError, OSError, KeyError):
        raise ValueError("a name of the tz database such as America/Chicago") from None
    return name


Text = Annotated[str, StringConstraints(min_length=1, max_length=MOST_CHARACTERS)]
AnyText = Annotated[str, StringConstraints(max_length=MOST_CHARACTERS)]
Headers = Text | Annotated[list[Text], Field(min_length=1, max_length=MOST_ENTRIES)]
Constant = AnyText | bool | int | float | datetime | date | time
Texts = Annotated[dict[AnyText, AnyText], Field(max_length=MOST_ENTRIES)]


class _Strict(BaseModel):
    model_config = ConfigDict(extra="forbid", strict=True)


class TableContent(_Strict):
    """One [[table]] of a mapping."""

    table: TableName
    files: Headers = ["*"]
    sheet: Text | None = None
    columns: Annotated[dict[AnyText, Headers], Field(max_length=MOST_ENTRIES)] = {}
    constants: Annotated[dict[AnyText, Constant], Field(max_length=MOST_ENTRIES)] = {}
    readings: Texts = {}
    first_of: Annotated[dict[AnyText, Headers], Field(max_length=MOST_ENTRIES)] = {}
    units: dict[UnitField, Literal["hours", "minutes"]] = {}
    header_row: Annotated[int, Field(ge=1, le=1000)] | None = None
    make_job_number: bool = False


class MappingContent(_Strict):
    """The whole document."""

    name: Text
    title: AnyText = ""
    date_order: Literal["", "MDY", "DMY", "YMD"] = ""
    decimal: Literal[".", ","] = "."
    currency: AnyText = ""
    time_zone: Annotated[AnyText, AfterValidator(_known_zone)] = "UTC"
    fold_case: bool = False
    own_kinds: bool = False
    numbering: AnyText = ""
    table: Annotated[list[TableContent], Field(min_length=1, max_length=MOST_TABLES)]
    words: dict[WordField, Texts] = {}


def checked(content: dict[str, Any], where: str) -> MappingContent:
    """Return the document when it can be used; raise MappingError with its key otherwise."""
    try:
        document = MappingContent.model_validate(content)
    except ValidationError as refusal:
        raise MappingError(_message(refusal, where)) from None
    for number, table in enumerate(document.table, start=1):
        _check_fields(table, f"{where}, table {number}")
    return document


def _check_fields(table: TableContent, place: str) -> None:
    known, given = fields_of(table.table), {*table.columns, *table.constants, *table.first_of}
    for name in (*table.columns, *table.constants, *table.first_of):
        if name not in known:
            raise MappingError(
                f"{place}: unknown field {shown_value(name)}; {table.table} has "
                f"{', '.join(sorted(known))}"
            )
    if table.make_job_number:
        _check_made_number(given, place)
        given = given | {"job_id"}
    for name, wanted in known.items():
        if wanted.is_required and name not in given:
            raise MappingError(f'{place}: field "{name}" is required ({wanted.meaning})')
    for name in LINE_FIELDS:
        if name in given and "line_type" not in given:
            raise MappingError(
                f'{place}: field "{name}" wants "line_type", the column that says what a line is'
            )
    _check_quantity_unit(table, given, place)
    _check_tax(given, place)


def _check_quantity_unit(table: TableContent, given: set[str], place: str) -> None:
    """The unit of a quantity of labor wants the column of quantities of invoice lines."""
    if "line_quantity" in table.units and "line_quantity" not in given:
        raise MappingError(
            f'{place}: the unit of "line_quantity" wants that field; map the column of quantities '
            "of the invoice lines, or take the unit out"
        )


def _check_tax(given: set[str], place: str) -> None:
    """An amount with tax wants what says how much of it is tax: tax is no revenue."""
    for name, others in NET_OF.items():
        if name in given and given.isdisjoint(others):
            raise MappingError(
                f'{place}: field "{name}" wants one of {", ".join(others)}; without one, the '
                "records do not say how much of it is tax; where one rate holds, write it under "
                '[table.constants]: tax_rate = "20"'
            )


def _check_made_number(given: set[str], place: str) -> None:
    """A made job number wants what it is made of, and no column of its own."""
    if "job_id" in given or not {"opened_on", "customer"} <= given:
        raise MappingError(
            f'{place}: "make_job_number" makes numbers of opened_on and customer; map both, '
            "and leave job_id out"
        )


def _message(refusal: ValidationError, where: str) -> str:
    """Return the first refusal in one line: where, which key, what it is, what was wanted."""
    error = refusal.errors(include_url=False)[0]
    place, kind, value = error["loc"], error["type"], error["input"]
    if place[0] == "table" and len(place) > 1:
        where, place = f"{where}, table {int(place[1]) + 1}", place[2:] or ("table",)
    if kind in ("missing", "too_short") and place == ("table",):
        return f"{where}: no [[table]]; at least one table must be mapped"
    if kind == "missing":
        return f'{where}: key "{place[-1]}" is missing; add it'
    if kind == "extra_forbidden" or "[key]" in place:
        unknown = value if "[key]" in place else place[-1]
        return f"{where}: unknown key {shown_value(unknown)}; {KNOWN}"
    if place[0] == "words" and len(place) > 1:
        return f'{where}: [words.{place[1]}] wants lines like "their word" = "our id"'
    wanted = _wanted(kind, error.get("ctx", {}), place)
    return f"{where}: key {shown_value(_key(place))} is {shown_value(value)}; wanted {wanted}"


def _wanted(kind: str, context: dict[str, Any], place: Sequence[str | int]) -> str:
    if kind == "literal_error":
        return f"one of {context['expected'].replace(' or ', ', ')}".replace("'", "")
    if kind == "value_error":
        return str(context["error"])
    if place[0] == "columns" and kind in ("string_type", "list_type"):
        return "a text or a list of texts"
    return WANTED.get(kind, "another kind of value")


def _key(place: Sequence[str | int]) -> str:
    """Return the last name in a place of the document: the key as it is written there."""
    names = [part for part in place if isinstance(part, str) and part not in UNION_ARMS]
    named = [name for name in names if not name.startswith(("constrained-", "list[", "function-"))]
    return named[-1] if named else "table"
