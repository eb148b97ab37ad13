"""A fragment of a note → points, readings and remarks in the order in which they were written."""

from dataclasses import dataclass, field, replace
from itertools import pairwise

from etl.readings.lookups import units
from etl.readings.numbers import read_number
from etl.readings.tokens import Lexeme
from etl.readings.units import NO_UNIT
from etl.readings.value import Value, parse_value
from etl.readings.vocabulary import Phrase, Vocabulary

BEFORE_A_TEMPERATURE = frozenset(("@", "at", "(", "temp", "temperature"))
BEFORE_A_BARE_TEMPERATURE = frozenset(("@", "temp", "temperature"))
BEFORE_A_NAMEPLATE = frozenset(("(", "of", "rated", "nameplate"))
BETWEEN_LIMITS = frozenset((("to",), ("-",), ("and",), ("bis",), ("à",), ("or",)))
NEW = frozenset(("replaced", "installed", "fitted", "changed", "ersetzt", "eingebaut", "remplacé"))
ALSO = frozenset((("and",), ("&",), ("und",), ("et",), ("/",)))
MEASURED = frozenset(
    ("is", "was", "reads", "read", "measured", "measures", "found", "got", "actual", "now",
     "tested", "tests", "ist", "misst", "gemessen", "est", "mesuré", "reading", "measuring")
)  # fmt: skip
POINT_ROLES = frozenset(("point", "part", "to_case", "kept_apart"))
REMARKS = frozenset(("state", "hot", "room", "temperature_noted", "nameplate"))


@dataclass(frozen=True)
class Setting:
    """What the source declares: the decimal mark, the folding of case, the thermometer's unit."""

    decimal: str = "."
    fold_case: bool = False
    temperature_unit: str | None = None


@dataclass(frozen=True)
class Item:
    """One piece: role point, reading, junk, mark, filler, doubtful or a remark on a reading."""

    role: str
    text: str
    key: tuple[str, ...] = ()
    phrase: Phrase | None = None
    lexeme: Lexeme | None = None
    number: float | None = None
    remarks: tuple["Item", ...] = field(default=())

    @property
    def is_bare(self) -> bool:
        """Say whether it is a number with neither unit nor the letter of 4R7."""
        return self.lexeme is not None and not self.lexeme.unit and not self.lexeme.is_coded

    @property
    def point_phrase(self) -> Phrase:
        """Return the phrase of a point: only a phrase makes one."""
        assert self.phrase is not None, self.role
        return self.phrase

    def with_remark(self, remark: "Item") -> "Item":
        return replace(self, remarks=(*self.remarks, remark))


def items_of(fragment: list[Lexeme], words: Vocabulary, setting: Setting) -> list[Item]:
    """Return the items of one fragment; the longest phrase wins, whole words only."""
    found: list[Item] = []
    position = 0
    while position < len(fragment):
        item, length = _next_item(fragment, position, words)
        if not _is_at_a_point(found, words):
            item = _as_remark(item, found, setting)
        found.append(item)
        position += length
    return _without_expected(_with_temperatures(found, setting))


def _is_at_a_point(before: list[Item], words: Vocabulary) -> bool:
    """Say whether the next number is what a compartment is at: `ff 48F and fz at 3F`."""
    if len(before) < 2 or before[-1].key != ("at",) or before[-2].role != "point":
        return False
    point = words.points.get(before[-2].point_phrase.test_point or "")
    return point is not None and point.quantity == "temperature"


def _with_temperatures(items: list[Item], setting: Setting) -> list[Item]:
    """Take the temperature of `thermostat at 5F open` as a remark on the state after it."""
    kept = list(items)
    for i, (before, item) in enumerate(pairwise(items), 1):
        is_noted = item.role == "reading" and before.key in (("at",), ("@",))
        if is_noted and item.lexeme and _is_temperature(item.lexeme) and _is_state(items[i + 1 :]):
            noted = _celsius(item.lexeme, setting)
            kept[i] = replace(item, role="temperature_noted", number=noted)
    return kept


def _is_state(later: list[Item]) -> bool:
    following = next((item for item in later if item.role not in ("filler", "mark")), None)
    return following is not None and following.role == "reading" and following.phrase is not None


def _without_expected(items: list[Item]) -> list[Item]:
    """Drop `rated 8` and `should be 40`; where no other number is left, nothing was measured.

    `set fridge to 37F and freezer to 0F` goes on expecting until a word such as `got` comes.
    """
    if not any(item.role in ("expected", "reading") for item in items):
        return items
    has_expected = any(item.role == "expected" for item in items)
    kept, is_expected, is_range, goes_on = [], False, False, False
    for item in items:
        if is_range and (item.role == "reading" or item.key in BETWEEN_LIMITS):
            is_range = item.role != "reading"
            goes_on = goes_on or item.key in ALSO
            continue
        is_range = False
        if item.key and item.key[0] in MEASURED:
            goes_on = False
        if item.role == "expected":
            is_expected = True
        elif is_expected and item.role in ("filler", "mark"):
            continue
        elif is_expected and item.role in ("reading", "nameplate"):
            is_expected, is_range = False, True
            kept += [item] if item.role == "nameplate" else []
        elif goes_on and item.role == "reading":
            continue
        else:
            goes_on = goes_on or (item.key in ALSO and has_expected)
            kept.append(item)
    is_unsaid = is_expected or not any(item.role == "reading" for item in kept)
    is_new = any(one.key[:1] and one.key[0] in NEW and two.lexeme for one, two in pairwise(items))
    if is_new or (is_unsaid and has_expected):
        return [*kept, Item("not_measured", "")]
    return kept


def _next_item(fragment: list[Lexeme], position: int, words: Vocabulary) -> tuple[Item, int]:
    longest = words.longest.get(fragment[position].key, 0)
    for length in range(min(longest, len(fragment) - position), 0, -1):
        lexemes = fragment[position : position + length]
        key = tuple(lexeme.key for lexeme in lexemes)
        phrase = words.phrases.get(key)
        if phrase:
            role = "point" if phrase.role in POINT_ROLES else phrase.role
            return Item(role, " ".join(x.text for x in lexemes), key, phrase), length
    lexeme = fragment[position]
    role = {
        "number": "reading",
        "list": "reading",
        "mark": "mark",
        "slash": "mark",
        "duration": "filler",
    }.get(lexeme.kind, "junk")
    if lexeme.text == "?":
        role = "doubtful"
    number = lexeme if role == "reading" else None
    return Item(role, lexeme.text, (lexeme.key,), lexeme=number), 1


def _as_remark(item: Item, before: list[Item], setting: Setting) -> Item:
    """Turn a number that belongs to an earlier reading into a remark on it."""
    if item.lexeme is None or item.lexeme.kind != "number" or not before:
        return item
    if not any(earlier.role == "reading" for earlier in before):
        return item
    previous = before[-1].key[-1]
    is_after_reading = before[-1].role == "reading"
    if previous in BEFORE_A_BARE_TEMPERATURE and item.is_bare:
        return replace(item, role="temperature_noted", number=_celsius(item.lexeme, setting))
    if _is_temperature(item.lexeme):
        if previous in BEFORE_A_TEMPERATURE or is_after_reading:
            return replace(item, role="temperature_noted", number=_celsius(item.lexeme, setting))
    elif item.is_bare and previous in BEFORE_A_NAMEPLATE:
        written = read_number(item.lexeme.text, setting.decimal)
        if not written.problem:
            return replace(item, role="nameplate", number=written.number)
    return item


def _is_temperature(lexeme: Lexeme) -> bool:
    unit = units().get(lexeme.unit)
    return lexeme.unit in NO_UNIT or (unit is not None and unit.quantity == "temperature")


def _celsius(lexeme: Lexeme, setting: Setting) -> float | None:
    """Return the temperature noted next to a reading; without F or C there is none."""
    unit = setting.temperature_unit if not lexeme.unit else None
    return parse_value(
        lexeme.text, unit=unit, quantity="temperature", decimal=setting.decimal
    ).value


def value_of(item: Item, setting: Setting, **known: str | None) -> Value:
    """Parse the number or word of a reading with what its test point says of it."""
    return parse_value(item.text, decimal=setting.decimal, fold_case=setting.fold_case, **known)
