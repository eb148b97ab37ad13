"""Forms that fill a whole fragment: three voltages, two capacitors, two temperatures."""

import re
from dataclasses import replace

from etl.readings.notes.items import Setting
from etl.readings.notes.reading import FILE_TEMPERATURE, NoteReading, flagged
from etl.readings.value import Value, parse_value, refused
from etl.readings.vocabulary import Vocabulary

NUMBER = r"(\d{1,6}(?:[.,]\d{1,4})?)"
DEGREES = r"\s?(°?[FC])?"
LEGS = re.compile(rf"{NUMBER}\s?/\s?{NUMBER}\s?/\s?{NUMBER}\s?(?:v|V|vac|VAC)?")
DUAL = re.compile(
    rf"(?:cap |dual cap )?{NUMBER}[/+]{NUMBER}\s?(?:uf|mfd|mf)? "
    r"(?:reads|read|reading|measures|measured|tests|tested|is) "
    rf"{NUMBER}[/+]{NUMBER}\s?(uf|mfd|mf)?",
    re.IGNORECASE,
)
AIR = re.compile(
    rf"(?:{NUMBER}{DEGREES} ret(?:urn)?(?: air)?[ ,/]+{NUMBER}{DEGREES} sup(?:ply)?(?: air)?"
    rf"|ret(?:urn)?(?: air)? {NUMBER}{DEGREES}[ ,/]+sup(?:ply)?(?: air)? {NUMBER}{DEGREES})",
    re.IGNORECASE,
)
RISE = re.compile(
    rf"(?P<words>.*?)(?<!\s)\s*+{NUMBER}{DEGREES}\s?-\s?{NUMBER}{DEGREES}", re.IGNORECASE
)
RISE_WORDS = ("1 liter", "1 litre", "liter of water", "water test", "temp rise", "cup test")
GOT = "got|gets|reads|read|reading|actual|actually|measured|measures|is|was|avg|averages"
OVEN = re.compile(
    rf"(?:oven )?set(?: to| at| for)? {NUMBER}{DEGREES},? (?:oven )?(?:{GOT}) {NUMBER}{DEGREES}",
    re.IGNORECASE,
)
SECONDS = re.compile(r"(?<!\s)\s*+\b\d{1,4}\s?(?:s|sec|secs|seconds)\b", re.IGNORECASE)
LEG_POINTS = ("supply_l1_n_v", "supply_l2_n_v", "supply_l1_l2_v")
SUM_SLACK_V = 2.0  # three readings of whole volts round by 1.5 V at most
ABOVE_ONE_LEG_V = 150.0


def read_form(text: str, words: Vocabulary, setting: Setting) -> list[NoteReading]:
    """Return the readings of a fragment that has one of the forms, else none."""
    for read in (_three_legs, _dual_capacitor, _air_drop, _water_rise, _oven_temperature):
        found = read(text, words, setting)
        if found:
            return found
    return []


def _three_legs(text: str, words: Vocabulary, setting: Setting) -> list[NoteReading]:
    """Read 121/122/243 only because 121 + 122 = 243, more than one leg can carry."""
    match = LEGS.fullmatch(text)
    if not match or not all(point in words.points for point in LEG_POINTS):
        return []
    values = [
        parse_value(number, quantity="AC voltage", decimal=setting.decimal)
        for number in match.groups()
    ]
    if any(value.problem for value in values):
        return []
    first, second, both = (value.number for value in values)
    if abs(first + second - both) > SUM_SLACK_V or both <= ABOVE_ONE_LEG_V:
        return []
    return [
        NoteReading(point, flagged(value, "point_inferred", "sum_holds"), text, "supply")
        for point, value in zip(LEG_POINTS, values, strict=True)
    ]


def _dual_capacitor(text: str, words: Vocabulary, setting: Setting) -> list[NoteReading]:
    """Read 45/5 reads 44.1/4.7: the larger section is the compressor's."""
    match = DUAL.fullmatch(text)
    points = [p for p in words.points_of("run_capacitor") if p.quantity == "capacitance"]
    if not match or len(points) != 1:
        return []
    unit = match[5]
    marked = [parse_value(n, unit="uF", decimal=setting.decimal).value for n in match.group(1, 2)]
    found = []
    for nameplate, written in zip(marked, match.group(3, 4), strict=True):
        value = parse_value(written, unit=unit, quantity="capacitance", decimal=setting.decimal)
        larger = nameplate is not None and nameplate == max(m or 0 for m in marked)
        section = "compressor_section" if larger else "fan_section"
        found.append(
            NoteReading(
                points[0].test_point,
                flagged(value, section),
                text,
                "run_capacitor",
                nameplate,
            )
        )
    return found


def _air_drop(text: str, words: Vocabulary, setting: Setting) -> list[NoteReading]:
    """Read 78 ret 58 sup: the drop is return less supply."""
    match = AIR.fullmatch(text)
    if not match or "ac_temp_drop" not in words.points:
        return []
    warm, warm_unit, cool, cool_unit = _halves(match.groups())
    assert warm and cool  # each half of AIR has both numbers
    value = _difference(warm, cool, warm_unit or cool_unit, setting)
    return [NoteReading("ac_temp_drop", value, text, "none")]


def _water_rise(text: str, words: Vocabulary, setting: Setting) -> list[NoteReading]:
    """Read 1 liter 60s 68-86: the rise is the second less the first."""
    match = RISE.fullmatch(text)
    if not match or "mw_water_rise" not in words.points:
        return []
    named = SECONDS.sub("", match["words"]).strip().lower()
    if named not in RISE_WORDS:
        return []
    _, cold, cold_unit, warm, warm_unit = match.groups()
    value = _difference(warm, cold, cold_unit or warm_unit, setting)
    return [NoteReading("mw_water_rise", value, text, "none")]


def _oven_temperature(text: str, words: Vocabulary, setting: Setting) -> list[NoteReading]:
    """Read set 350 got 310F: the second is what the oven reached."""
    match = OVEN.fullmatch(text)
    if not match or "oven_temp_check" not in words.points:
        return []
    unit = match[4] or setting.temperature_unit
    value = parse_value(match[3], unit=unit, quantity="temperature", decimal=setting.decimal)
    flags = () if match[4] else (FILE_TEMPERATURE,)
    return [NoteReading("oven_temp_check", flagged(value, *flags), text, "none")]


def _halves(groups: tuple[str | None, ...]) -> tuple[str | None, ...]:
    return groups[:4] if groups[0] else groups[4:]


def _difference(first: str, second: str, unit: str | None, setting: Setting) -> Value:
    """Return first less second in kelvin; without F or C it is refused."""
    written = unit or setting.temperature_unit
    one, two = (
        parse_value(text, unit=written, quantity="temperature difference", decimal=setting.decimal)
        for text in (first, second)
    )
    if one.problem or two.problem:
        return refused(one.problem or two.problem or "")
    flags = ("difference_of_two",) if unit else ("difference_of_two", FILE_TEMPERATURE)
    return flagged(replace(one, value=one.number - two.number), *flags)
