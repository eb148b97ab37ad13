"""Points and readings in a row → which reading belongs to which point.

A grammar, not a guess: a reading belongs to a point only where the words stand side by side and
every reading finds its own point in one way. Everything else stays unassigned or is refused.
"""

from dataclasses import dataclass, replace
from itertools import pairwise

from etl.readings.lookups import words as reading_words
from etl.readings.notes.items import REMARKS, Item
from etl.readings.vocabulary import Phrase, Vocabulary

BREAKS = ("negation", "conjunction")
OF_THE_PART = frozenset(  # after a part: its own winding, the plug on it
    (w,) for w in ("coil", "winding", "windings", "motor", "connector", "plug", "harness", "wires")
)
OPINIONS = ("verdict_pass", "verdict_fail")


@dataclass(frozen=True)
class Pair:
    """A reading with its point, if it has one; or the code why it is refused."""

    point: Item | None
    reading: Item
    problem: str | None = None


def runs_of(items: list[Item]) -> list[list[Item]]:
    """Split at words that are not known; remarks move into the reading that they belong to."""
    runs: list[list[Item]] = [[]]
    waiting: list[Item] = []
    items = [replace(item, role="junk") if item.role in BREAKS else item for item in items]
    kept = [item for item in items if item.role in ("point", "reading", "junk", *REMARKS)]
    for position, item in enumerate(kept):
        following_role = kept[position + 1].role if position + 1 < len(kept) else ""
        if item.role == "junk":
            runs[-1] = _without_next_clause(runs[-1])
            runs.append([])
        elif item.role in REMARKS:
            _place(item, runs[-1], following_role, waiting)
        else:
            while waiting and item.role == "reading":
                item = item.with_remark(waiting.pop())
            runs[-1].append(item)
    return [part for i, run in enumerate(runs) for part in _without_strange(runs[i - 1 : i], run)]


def _without_strange(before: list[list[Item]], run: list[Item]) -> list[list[Item]]:
    """Leave a first reading to the point before the unknown word: `broil part 19 bake open`."""
    is_waiting = bool(before) and bool(before[0]) and before[0][-1].role == "point"
    roles = [item.role for item in run[:2]]
    if is_waiting and len(before[0]) % 2 and roles == ["reading", "point"]:
        return [run[:1], run[1:]]
    return [run] if run else []


def _without_next_clause(run: list[Item]) -> list[Item]:
    """Leave a last point to the unknown word after it: `elem 9.2 ohm vent clogged`."""
    is_over = len(run) > 2 and len(run) % 2 and run[-1].role == "point"
    return run[:-1] if is_over else run


def _place(remark: Item, run: list[Item], following_role: str, waiting: list[Item]) -> None:
    """Give a remark to the reading before it, or to the next where two readings enclose it."""
    before = next((i for i in reversed(range(len(run))) if run[i].role == "reading"), None)
    is_enclosed = bool(run) and run[-1].role == following_role == "reading"
    if before is None or is_enclosed:
        waiting.append(remark)
    else:
        run[before] = run[before].with_remark(remark)


def pairs_of(run: list[Item], words: Vocabulary) -> list[Pair]:
    """Pair one run; a run with no reading gives none."""
    run = _states_out(_opinions_out(_once(_second_points_in(_merged(run, words), words))), words)
    readings = [item for item in run if item.role == "reading"]
    points = [item for item in run if item.role == "point"]
    if _is_overload(run):
        return [Pair(None, item, "reading_ambiguous") for item in readings[:1]]
    if not points:
        return _without_point(readings)
    if len(run) % 2 and _is_heading(run, words):
        run = run[1:]
    chunks = [run[i : i + 2] for i in range(0, len(run), 2)]
    if all(len({item.role for item in chunk}) == 2 for chunk in chunks):
        sorted_chunks = (sorted(chunk, key=lambda item: item.role) for chunk in chunks)
        return [Pair(point, reading) for point, reading in sorted_chunks]
    if len(points) == 1 and len(readings) == 2 and _differ_in_heat(readings):
        return [Pair(points[0], reading) for reading in readings]
    if len(readings) == 1:
        return [Pair(None, readings[0])]
    return [Pair(None, reading, "reading_several_numbers") for reading in readings[:1]]


def _without_point(readings: list[Item]) -> list[Pair]:
    if len(readings) < 2:
        return [Pair(None, reading) for reading in readings]
    text = " ".join(reading.text for reading in readings)
    return [Pair(None, replace(readings[0], text=text), "reading_several_numbers")]


def _merged(run: list[Item], words: Vocabulary) -> list[Item]:
    """Join neighbouring phrases that name one point: `igniter pulls`."""
    found: list[Item] = []
    for item in run:
        is_next = found and item.role == found[-1].role == "point"
        joined = _joined(found[-1], item, words) if is_next else None
        if joined:
            found[-1] = joined
        else:
            found.append(item)
    return found


def _joined(first: Item, second: Item, words: Vocabulary) -> Item | None:
    """Return the one point that two phrases name together, or None where they name two."""
    phrase = _joined_phrase(first, second, words)
    if phrase is None:
        return None
    text, key = f"{first.text} {second.text}", (*first.key, *second.key)
    return Item("point", text, key, phrase, remarks=(*first.remarks, *second.remarks))


def _joined_phrase(first: Item, second: Item, words: Vocabulary) -> Phrase | None:
    one, two = first.point_phrase, second.point_phrase
    if two.role == "to_case":
        to_case = [point for point in words.points_of(one.component) if point.is_to_case]
        point = to_case[0].test_point if len(to_case) == 1 else None
        return Phrase("point" if point else "to_case", point, one.component)
    if first.key in words.pair_named and two.test_point in words.two_pairs:
        return two
    if None not in (one.component, two.component) and one.component != two.component:
        return one if second.key in OF_THE_PART else None
    phrase = two if two.test_point else replace(one, component=one.component or two.component)
    flags = tuple(flag for flag in (*one.flags, *two.flags) if flag != "state_not_named")
    return replace(phrase, flags=flags)


def _second_points_in(run: list[Item], words: Vocabulary) -> list[Item]:
    """Join a second point to the first: `elem OL to ground`, `elem 9.2 to ground OL`."""
    found: list[Item] = []
    for i, item in enumerate(run):
        if [x.role for x in (*found[-2:], item)] == ["point", "reading", "point"]:
            is_second = (
                item.point_phrase.role == "to_case"
                or item.point_phrase.test_point in words.two_pairs
            )
            joined = _joined(found[-2], item, words) if is_second else None
            is_followed = i + 1 < len(run) and run[i + 1].role == "reading"
            if joined and not is_followed:
                found[-2] = joined
                continue
            item = joined if joined and item.point_phrase.role == "to_case" else item
        found.append(item)
    return found


def _opinions_out(run: list[Item]) -> list[Item]:
    """Drop `good` and `bad` next to a reading: the reading counts, the opinion does not."""
    if _is_overload(run):
        return run
    roles = [item.role for item in run]
    return [
        item
        for i, item in enumerate(run)
        if _meaning(item) not in OPINIONS
        or "reading" not in (*roles[i - 1 : i], *roles[i + 1 : i + 2])
    ]


def _once(run: list[Item]) -> list[Item]:
    """Drop a word that says the reading before it again: `open, no continuity`."""
    kept: list[Item] = []
    for item in run:
        meaning = _meaning(item)
        if not (kept and meaning and meaning == _meaning(kept[-1])):
            kept.append(item)
    return kept


def _states_out(run: list[Item], words: Vocabulary) -> list[Item]:
    """Take `shut` or `closed` as the state of the part where another word is the reading."""
    state_keys = frozenset().union(*words.state_words.values()) if words.state_words else ()
    readings = [item for item in run if item.role == "reading"]
    states = [item for item in readings if item.phrase and item.key in state_keys]
    if len(states) != 1 or len(readings) != 2 or len(run) - len(readings) > 1:
        return run
    return [
        item.with_remark(replace(states[0], role="state")) if item.role == "reading" else item
        for item in run
        if item is not states[0]
    ]


def _is_overload(run: list[Item]) -> bool:
    """Say whether OL may be the overload protector: before a bare number or `bad`."""
    return any(
        first.key in (("ol",), ("o.l",))
        and second.role == "reading"
        and (second.is_bare or _meaning(second) == "verdict_fail")
        for first, second in pairwise(run)
    )


def _is_heading(run: list[Item], words: Vocabulary) -> bool:
    """Say whether the first word is a part and all the points after it are on that part."""
    first, *others = run
    points = [item.point_phrase for item in others if item.role == "point"]
    return (
        first.role == "point"
        and first.point_phrase.test_point is None
        and len(points) > 1
        and all(p.test_point and p.component == first.point_phrase.component for p in points)
    )


def _differ_in_heat(readings: list[Item]) -> bool:
    hot = [any(remark.role == "hot" for remark in item.remarks) for item in readings]
    return sum(hot) == 1


def _meaning(item: Item) -> str:
    return reading_words().get(item.phrase.text, "") if item.phrase else ""
