"""One reading and the words next to it → its test point, or none, or a reason.

A point follows from words, from the unit and from the noted state alone, never from the size of
the value; the one exception is physical and flagged: no single leg carries more than 150 V.
"""

from dataclasses import replace

from etl.readings.lookups import quantities
from etl.readings.notes.items import Item, Setting, value_of
from etl.readings.notes.pairs import Pair
from etl.readings.notes.reading import FILE_TEMPERATURE, NoteReading, flagged, with_remarks
from etl.readings.value import HAS_STATES, Value, refused
from etl.readings.vocabulary import VOLTS_AT, Phrase, Point, Vocabulary

COLD_CEL, WARM_CEL = -9.0, 16.0  # the states of the defrost thermostat in tolerances.csv
LEG_AT_MOST_V = 150.0
LIKE_A_SUPPLY = (range(100, 131), range(200, 256))  # a bare 120 may be volts
OVEN_ELEMENTS = ("bake_element", "broil_element", "convection_element")
SETTINGS = range(150, 601, 5)  # degrees of either scale
BLOWN = ("blown",)
FUSES = ("line_fuse", "thermal_fuse", "thermal_cutoff")  # a fuse that is blown is open
NO_INFERENCE = ("state_not_named", VOLTS_AT)
CURRENT = Point("", "", "AC current")


def read_pair(pair: Pair, words: Vocabulary, setting: Setting) -> NoteReading:
    """Return the reading of one pair."""
    phrase = pair.point.phrase if pair.point else None
    if pair.reading.key == BLOWN and (phrase is None or phrase.component not in FUSES):
        return NoteReading(None, refused("reading_point_unknown"), pair.reading.text)
    text = f"{pair.point.text} {pair.reading.text}" if pair.point else pair.reading.text
    component = phrase.component if phrase else None
    if pair.problem:
        return NoteReading(None, refused(pair.problem), text, component)
    value = value_of(pair.reading, setting)
    if value.outcome == "verdict_only":
        return NoteReading(_judged(phrase, words), value, text, component)
    if value.problem not in (None, "reading_unit_missing", "reading_second_point_missing"):
        return NoteReading(None, value, text, component)
    point, value = _placed(pair, phrase, value, words, setting)
    if value.problem:
        return NoteReading(None, value, text, component)
    component = point.component if point and point.component else component
    noted = NoteReading(point.test_point or None if point else None, value, text, component)
    return with_remarks(noted, pair.reading.remarks)


def _placed(
    pair: Pair, phrase: Phrase | None, value: Value, words: Vocabulary, setting: Setting
) -> tuple[Point | None, Value]:
    """Choose the point first, then read the value with the quantity of that point."""
    if value.problem == "reading_second_point_missing":
        point = words.points.get(phrase.test_point or "") if phrase else None
        shorted = Value("qualitative", quantity="resistance", is_closed=True)
        return (point, shorted) if point and point.is_to_case else (None, value)
    candidates = _candidates(phrase, value, words)
    chosen = _of_state(candidates, pair, words)
    if isinstance(chosen, str):
        return None, refused(chosen)
    if phrase is None:
        return _without_words(pair, value, words)
    if VOLTS_AT in phrase.flags and value.problem and not is_like_a_supply(pair.reading.text):
        return None, value
    value = _read_at(pair.reading, candidates, value, setting)
    value = flagged(value, *(f for f in phrase.flags if f not in NO_INFERENCE))
    if (
        chosen
        and pair.point
        and chosen.test_point in words.two_pairs
        and not _holds(pair.point.key, words.pair_named)
    ):
        return _leg_to_leg(chosen, value)
    return (None if phrase.role == "kept_apart" else chosen), value


def _judged(phrase: Phrase | None, words: Vocabulary) -> str | None:
    """Return the point that `good` or `bad` is said of: the one named, or the part's only one."""
    if phrase is None or phrase.role == "kept_apart":
        return None
    of_part = [
        p
        for p in words.points_of(phrase.component)
        if p.quantity in HAS_STATES and not p.is_to_case
    ]
    is_only = len(of_part) == 1 and phrase.component is not None
    return phrase.test_point or (of_part[0].test_point if is_only else None)


def _candidates(phrase: Phrase | None, value: Value, words: Vocabulary) -> list[Point]:
    """List the points that the words allow and that are measured in the written unit."""
    if phrase is None or phrase.role == "to_case":
        return []
    if phrase.role == "kept_apart":
        return [replace(CURRENT, component=phrase.component or "")]
    named = words.points.get(phrase.test_point or "")
    if named and _accepts(named, value):
        return [named]
    if phrase.component == "none" and (value.is_open or value.is_closed):
        return []  # of no part: `open freezer`
    of_part = words.points_of(phrase.component)
    return [p for p in of_part if _accepts(p, value) and not p.is_to_case]


def _accepts(point: Point, value: Value) -> bool:
    if value.is_open or value.is_closed:
        return point.quantity in HAS_STATES
    if "absent" in value.flags:
        return "voltage" in quantities()[point.quantity].unit_quantities
    return value.quantity is None or value.quantity in (
        point.quantity,
        *quantities()[point.quantity].unit_quantities,
    )


def _of_state(candidates: list[Point], pair: Pair, words: Vocabulary) -> Point | str | None:
    """Return the one point; where points differ by the state of the part, the noted one."""
    if not candidates or not pair.point:
        return None
    hot = any(remark.role == "hot" for remark in pair.reading.remarks)
    first = candidates[0]
    if hot and first.quantity in HAS_STATES:
        return None
    family = [p for p in words.points_of(first.component) if p.test_point in words.state_words]
    if first not in family or first.quantity not in HAS_STATES:
        return first if len(candidates) == 1 else None
    is_named = (
        "state_not_named" not in pair.point.point_phrase.flags
        and pair.point.point_phrase.test_point
    )
    if is_named and len(candidates) == 1 and len(family) > 1:
        return first
    noted = [p for p in family if _is_in_state(p, pair, words)]
    if len(noted) == 1:
        return noted[0]
    return "reading_state_unknown" if len(family) == 1 else None


def _is_in_state(point: Point, pair: Pair, words: Vocabulary) -> bool:
    """Say whether the phrase, a remark or the noted temperature names the state of the point."""
    assert pair.point is not None  # _of_state asks of none without
    remarks = (*pair.reading.remarks, *pair.point.remarks)
    names = words.state_words[point.test_point]
    if _holds(pair.point.key, names) or any(remark.key in names for remark in remarks):
        return True
    noted = [r.number for r in remarks if r.role == "temperature_noted" and r.number is not None]
    is_cold = point.test_point.endswith("_cold") and any(cel <= COLD_CEL for cel in noted)
    return is_cold or (point.test_point.endswith("_warm") and any(c >= WARM_CEL for c in noted))


def _holds(key: tuple[str, ...], phrases: frozenset[tuple[str, ...]]) -> bool:
    return any(key[i : i + len(p)] == p for p in phrases for i in range(len(key)))


def _read_at(item: Item, candidates: list[Point], value: Value, setting: Setting) -> Value:
    """Read the value with the quantity of the point; a bare number needs one quantity."""
    measured = {point.quantity for point in candidates}
    if len(measured) != 1:
        return value
    quantity = measured.pop()
    if value.problem != "reading_unit_missing":
        return value_of(item, setting, quantity=quantity)
    if quantity in HAS_STATES and _may_be_another_number(item.text):
        return value
    if candidates[0].component in OVEN_ELEMENTS and _may_be_a_setting(item.text):
        return value
    if not quantities()[quantity].usual_ucum and setting.temperature_unit:
        read = value_of(item, setting, quantity=quantity, unit=setting.temperature_unit)
        return flagged(read, FILE_TEMPERATURE)
    return value_of(item, setting, quantity=quantity)


def _may_be_another_number(text: str) -> bool:
    """Say whether a bare number may be a supply voltage or a part number."""
    return text.isdigit() and (len(text) > 4 or is_like_a_supply(text))


def is_like_a_supply(text: str) -> bool:
    """Say whether a bare number is one that volts of a supply are."""
    whole = text.split(".")[0]
    return whole.isdigit() and any(int(whole) in numbers for numbers in LIKE_A_SUPPLY)


def _may_be_a_setting(text: str) -> bool:
    """Say whether a bare number next to an oven element may be the temperature to bake at."""
    return text.isdigit() and int(text) in SETTINGS


def _without_words(pair: Pair, value: Value, words: Vocabulary) -> tuple[Point | None, Value]:
    """Read a value with no part next to it: kilo-ohm with a temperature is the thermistor."""
    has_temperature = any(r.role == "temperature_noted" for r in pair.reading.remarks)
    if value.is_open and has_temperature:
        return None, refused("reading_state_unknown")
    unit = pair.reading.lexeme.unit if pair.reading.lexeme else ""
    thermistors = [p for p in words.points_of("thermistor") if p.quantity == "resistance"]
    if has_temperature and unit[:1] in ("k", "K") and len(thermistors) == 1:
        return thermistors[0], flagged(value, "point_inferred")
    by_unit = words.phrases.get(tuple(unit.lower().replace("/", " / ").split()))
    point = words.points.get(by_unit.test_point or "") if by_unit else None
    return (point if point and _accepts(point, value) else None), value


def _leg_to_leg(point: Point, value: Value) -> tuple[Point | None, Value]:
    """Take over 150 V as leg to leg; nought fits any pair; between, which pair is not known."""
    if value.value is None or value.value == 0:
        return None, value
    if value.value <= LEG_AT_MOST_V:
        return None, refused("reading_point_unknown")
    return point, flagged(value, "pair_inferred")
