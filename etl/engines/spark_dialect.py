"""The SQL of sql/, written for DuckDB, as Spark's SQL: the same statements, no second copy of them.

Macros are written out where they are called, so that a rule keeps its one place. What Spark
says or counts otherwise is repaired here; tests/repo/test_portable_sql.py holds the rest portable.
"""

import re
from collections.abc import Iterator
from typing import ClassVar

import sqlglot
from sqlglot import exp
from sqlglot.dialects.spark import Spark
from sqlglot.generators.spark import SparkGenerator


class NotPortable(Exception):
    """A statement that cannot be said to Spark; names the construct."""


def statements(text: str) -> Iterator[exp.Expr]:
    """Yield the statements of one SQL file as trees; a file without one yields nothing."""
    yield from (tree for tree in sqlglot.parse(text, read="duckdb") if tree)


class Macros:
    """The macros of sql/core, learnt in the order in which the load creates them."""

    def __init__(self) -> None:
        self._known: dict[str, tuple[list[str], exp.Expr]] = {}

    def learn(self, create: exp.Create) -> None:
        """Keep one CREATE MACRO, with the macros that it calls written out."""
        head = create.this
        parameters = [parameter.name for parameter in head.expressions]
        self._known[_name(head.this)] = (parameters, self.written_out(create.expression))

    def written_out(self, tree: exp.Expr) -> exp.Expr:
        """Return a copy of the tree in which every call of a macro is the macro's own text."""
        tree = tree.copy()
        for call in reversed(list(tree.find_all(exp.Anonymous))):  # the inner ones first
            owner = _owner(call)
            if owner is None:
                continue
            text: exp.Expr = self._text_of(call, owner)
            if isinstance(owner, exp.Table):
                text = exp.Subquery(this=text, alias=owner.args.get("alias"))
            else:
                text = exp.Paren(this=text)
            if owner is tree:
                tree = text
            owner.replace(text)
        return tree

    def _text_of(self, call: exp.Anonymous, owner: exp.Expr) -> exp.Expr:
        name = f"{_schema(owner)}.{call.name}"
        if name not in self._known:
            raise NotPortable(f"{name} is called before it is created")
        parameters, text = self._known[name]
        given = dict(zip(parameters, call.expressions, strict=True))
        return text.transform(
            lambda node: (
                exp.Paren(this=given[node.name].copy())
                if isinstance(node, exp.Column) and not node.table and node.name in given
                else node
            )
        )


def _owner(call: exp.Anonymous) -> exp.Expr | None:
    """Return the node that stands for `schema.name(…)` as a whole, None for a built-in function."""
    parent = call.parent
    is_scalar = isinstance(parent, exp.Dot) and parent.expression is call
    is_table = isinstance(parent, exp.Table) and parent.this is call and parent.args.get("db")
    return parent if is_scalar or is_table else None


def _schema(owner: exp.Expr) -> str:
    return owner.db if isinstance(owner, exp.Table) else str(owner.this.name)


def _name(table: exp.Table) -> str:
    return f"{table.db}.{table.name}"


def to_spark(tree: exp.Expr) -> str:
    """Return a SELECT without macros as Spark's SQL. Raises NotPortable."""
    return tree.sql(dialect=Portable, comments=False)


def _double(self: SparkGenerator, value: exp.Expr) -> str:
    return self.sql(exp.cast(value.copy(), exp.DType.DOUBLE))


def _division(self: SparkGenerator, node: exp.Div) -> str:
    """Divide as doubles: Spark would give a decimal of its own scale for decimals."""
    return f"{_double(self, node.this)} / {_double(self, node.expression)}"


def _day_or_trunc(value: exp.Expr, unit: str) -> exp.Expr:
    if unit == "DAY":
        return exp.cast(value.copy(), exp.DType.DATE)
    return exp.func("DATE_TRUNC", exp.Literal.string(unit), value.copy())


def _date_diff(self: SparkGenerator, node: exp.DateDiff) -> str:
    """Count boundaries as DuckDB does; Spark counts what has elapsed."""
    unit = node.args["unit"].name.upper()
    start, end = (_day_or_trunc(value, unit) for value in (node.expression, node.this))
    return f"TIMESTAMPDIFF({unit}, {self.sql(start)}, {self.sql(end)})"


def _pattern(self: SparkGenerator, node: exp.Expr) -> str:
    """Return the pattern for Java: `.` and the end of the text mean what they mean to RE2."""
    if not isinstance(node, exp.Literal):
        raise NotPortable(f"a regular expression that is no literal: {node.sql()}")
    text = re.sub(r"(?<!\\)\$$", r"\\z", node.name)
    return self.sql(exp.Literal.string(f"(?d){text}"))


def _matches(self: SparkGenerator, node: exp.RegexpLike) -> str:
    return f"{self.sql(node.this)} RLIKE {_pattern(self, node.expression)}"


def _extract(self: SparkGenerator, node: exp.RegexpExtract) -> str:
    found = (self.sql(node.this), _pattern(self, node.expression), self.sql(node.args["group"]))
    return f"REGEXP_EXTRACT({', '.join(found)})"


def _replace(self: SparkGenerator, node: exp.RegexpReplace) -> str:
    if not node.args.get("modifiers") or node.args["modifiers"].name != "g":
        raise NotPortable(f"regexp_replace without 'g': {node.sql()}")
    replacement = self.sql(node.args["replacement"])
    return (
        f"REGEXP_REPLACE({self.sql(node.this)}, {_pattern(self, node.expression)}, {replacement})"
    )


def _length(self: SparkGenerator, node: exp.Length) -> str:
    is_list = isinstance(node.this, exp.Cast) and node.this.to.is_type(exp.DType.ARRAY)
    return self.func("SIZE" if is_list else "LENGTH", node.this)


def _lower(self: SparkGenerator, node: exp.Lower) -> str:
    """Lower each letter alone: Java makes two of a dotted I, and minds where a Sigma stands."""
    return f"LOWER(TRANSLATE({self.sql(node.this)}, 'İΣ', 'iσ'))"


def _hash(self: SparkGenerator, values: list[exp.Expr]) -> str:
    """Hash so that a NULL counts in its place, into the numbers that both engines can keep."""
    marked = [
        part for value in values for part in (value, exp.Is(this=value, expression=exp.Null()))
    ]
    return f"({self.func('XXHASH64', *marked)} & 9223372036854775807)"


def _other(self: SparkGenerator, node: exp.Anonymous) -> str:
    match node.name.lower(), node.expressions:
        case "timezone", [zone, instant]:
            utc = exp.cast(instant.copy(), exp.DType.TIMESTAMPNTZ)
            return self.func("CONVERT_TIMEZONE", exp.Literal.string("UTC"), zone, utc)
        case "hash", values:
            return _hash(self, values)
    return self.anonymous_sql(node)


class Portable(Spark):
    """Spark's dialect with the repairs; QUALIFY stays, Spark 4.3 has it."""

    class Generator(SparkGenerator):
        EXPRESSIONS_WITHOUT_NESTED_CTES: ClassVar[set[type[exp.Expr]]] = set()
        TYPE_MAPPING = SparkGenerator.TYPE_MAPPING | {exp.DType.TIMESTAMPTZ: "TIMESTAMP_LTZ"}
        TRANSFORMS = {
            kind: said for kind, said in SparkGenerator.TRANSFORMS.items() if kind is not exp.Select
        } | {
            exp.Anonymous: _other,
            exp.Avg: lambda self, node: f"AVG({_double(self, node.this)})",
            exp.DateDiff: _date_diff,
            exp.Div: _division,
            exp.Length: _length,
            exp.Lower: _lower,
            exp.Log: lambda self, node: self.func("LOG10", node.expression),
            exp.PercentileCont: lambda self, node: self.func(
                "PERCENTILE", node.this, node.expression
            ),
            exp.RegexpExtract: _extract,
            exp.RegexpLike: _matches,
            exp.RegexpReplace: _replace,
        }
