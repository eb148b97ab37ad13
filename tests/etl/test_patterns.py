"""Every regular expression of etl takes time in proportion to the text, on texts made against it.

All of them are found by walking the modules and their source, so that a new one is covered. A text of
20,000 signs takes a linear pattern a few milliseconds and a quadratic one seconds.
"""

import ast
import importlib
import pkgutil
import re
import time
from collections.abc import Iterator
from pathlib import Path

import pytest

import etl

LENGTH, MOST_SECONDS = 20_000, 0.4  # of the processor, the best of three
SEARCHES = ("search", "finditer", "findall", "sub", "subn", "split")
SIGNS = "0a A.,-/:([\t\n_@#x'\"$é=!;|"
STEPS = (
    "0 ",
    "a ",
    "0.",
    "a.",
    "0,",
    "0-",
    "a-",
    " -",
    ". ",
    "at ",
    "a@",
    "a, ",
    "1 a ",
    "x1 ",
    "(0",
    "[a",
)
CALLS = {"compile", "match", "fullmatch", *SEARCHES}
SOURCES = {
    info.name: Path(str(importlib.import_module(info.name).__file__)).read_text(encoding="utf-8")
    for info in pkgutil.walk_packages(etl.__path__, "etl.")
}
Found = tuple[str, re.Pattern, bool]


def held(value: object, depth: int = 0) -> Iterator[re.Pattern]:
    """Give the patterns that a module's name holds, also within containers."""
    if isinstance(value, re.Pattern):
        yield value
    elif isinstance(value, dict) and depth < 3:
        for each in value.values():
            yield from held(each, depth + 1)
    elif isinstance(value, list | tuple | set | frozenset) and depth < 3:
        for each in value:
            yield from held(each, depth + 1)


def of_module(module: str) -> Iterator[Found]:
    """Give the patterns of a module's names, and whether they are searched for somewhere."""
    for name, value in vars(importlib.import_module(module)).items():
        for pattern in held(value):
            uses = "|".join(SEARCHES)
            is_searched = any(
                re.search(rf"\b(?:{re.escape(name)}|pattern)\.(?:{uses})\(", source)
                for other, source in SOURCES.items()
                if other == module or re.search(rf"from {module} import [^#]*\b{name}\b", source)
            )
            yield f"{module}.{name}", pattern, is_searched


def in_calls(module: str) -> Iterator[Found]:
    """Give the patterns that are written out in a call such as re.sub("…", …)."""
    for node in ast.walk(ast.parse(SOURCES[module])):
        if not (isinstance(node, ast.Call) and isinstance(node.func, ast.Attribute) and node.args):
            continue
        is_re = isinstance(node.func.value, ast.Name) and node.func.value.id == "re"
        text = node.args[0]
        if is_re and node.func.attr in CALLS and isinstance(text, ast.Constant):
            pattern = re.compile(text.value)
            yield f"{module}, line {node.lineno}", pattern, node.func.attr in SEARCHES


def all_patterns() -> list[Found]:
    """Return every pattern once; searched for where any of its places searches."""
    found: dict[re.Pattern, Found] = {}
    for module in SOURCES:
        for place, pattern, is_searched in (*of_module(module), *in_calls(module)):
            first, _, before = found.get(pattern, (place, pattern, False))
            found[pattern] = (first, pattern, is_searched or before)
    return list(found.values())


def texts(length: int) -> Iterator[str]:
    """Give long texts of one repeated piece that end so that a match of the whole fails."""
    for piece in (*SIGNS, *STEPS):
        run = piece * (length // len(piece))
        yield f"{run}\0"
        yield f"1{run}"
        yield f"a1 {run}\0"


def seconds(pattern: re.Pattern, text: str, is_searched: bool) -> float:
    """Return the processor's time for all that is done with a pattern: the best of three."""
    subject = text.encode() if isinstance(pattern.pattern, bytes) else text
    best = float("inf")
    for _ in range(3):
        began = time.process_time()
        if is_searched:
            pattern.sub(pattern.pattern[:0], subject)
        else:
            pattern.match(subject)
            pattern.fullmatch(subject)
        best = min(best, time.process_time() - began)
        if best < MOST_SECONDS:
            break
    return best


def slow_text(pattern: re.Pattern, is_searched: bool) -> str | None:
    """Return the first text on which a pattern is slow; None for none. Short ones come first."""
    return next(
        (
            text
            for length in (LENGTH // 20, LENGTH // 4, LENGTH)
            for text in texts(length)
            if seconds(pattern, text, is_searched) > MOST_SECONDS * length / LENGTH
        ),
        None,
    )


PATTERNS = all_patterns()


@pytest.mark.parametrize(
    ("pattern", "is_searched"), [f[1:] for f in PATTERNS], ids=[f[0] for f in PATTERNS]
)
def test_a_pattern_takes_linear_time(pattern: re.Pattern, is_searched: bool):
    slow = slow_text(pattern, is_searched)
    assert slow is None, f"too slow on a long text like {slow[:8]!r}"


def test_a_quadratic_pattern_would_be_seen():
    slow = re.compile(r"a+b|\s+$")
    assert slow_text(slow, True)


def test_the_walk_finds_patterns_of_every_form():
    places = " ".join(place for place, *_ in PATTERNS)
    for form in (
        "column_values.PATTERNS",
        "land_parts.SEPARATORS",
        "fields, line",
        "contact.DIGITS",
    ):
        assert form in places
