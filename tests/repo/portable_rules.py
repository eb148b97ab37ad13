"""The rules by which SQL means the same on DuckDB and on Spark, as a lint on the statement's tree.

Every rule stands for a difference that was seen between the two: a silent one, or an error.
"""

import re
from collections.abc import Callable, Iterator

from sqlglot import exp

from etl.engines.spark_dialect import statements

# what the tests of tests/spark have shown to mean the same; another construct is added here together
# with records that would show a difference
SHOWN_ALIKE = frozenset(re.findall(r"\w+", """
    Abs Add Alias And Anonymous AnyValue ArgMax ArgMin ArrayContains Avg Between Boolean CTE Case Cast
    Ceil CheckColumnConstraint Chr Coalesce Column ColumnConstraint ColumnDef ConcatWs Count Create
    DPipe DataType DataTypeParam DateDiff DenseRank Distinct Div Dot EQ EndsWith Exists Exp Explode Filter
    Floor From GT GTE Greatest Group GroupConcat Having Identifier If IgnoreNulls In IndexParameters
    Insert IntDiv
    Interval Is Join LT LTE Lead Least Length Like Literal Ln Log LogicalOr Lower MD5 Max Min Mod Mul NEQ Neg
    Not NotNullColumnConstraint Null NullSafeEQ NullSafeNEQ Nullif Or Order Ordered Pad Paren
    PercentileCont Placeholder Pow PrimaryKey PrimaryKeyColumnConstraint Properties Qualify Rank
    RegexpExtract RegexpLike RegexpReplace Replace ReturnsProperty RowNumber Schema Select Sign Split
    Sqrt Star StrPosition Sub Subquery Substring Sum Table TableAlias TimeToStr Translate Trim TryCast
    Tuple Union Upper UserDefinedFunction Var Where Window WindowSpec With Year
"""))  # fmt: skip
FUNCTIONS = ("hash", "timezone")  # said in another way by etl/engines/spark_dialect.py
WHOLE_NUMBERS = (exp.DType.INT, exp.DType.BIGINT, exp.DType.SMALLINT)
Rule = Callable[[exp.Expression], bool]


def _is_macro(node: exp.Anonymous) -> bool:
    return isinstance(node.parent, exp.Dot) or bool(
        isinstance(node.parent, exp.Table) and node.parent.args.get("db")
    )


def _divides_freely(node: exp.Div) -> bool:
    """Is the divisor neither a number other than 0 nor guarded by nullif(…, 0)?"""
    below = node.expression
    is_number = isinstance(below, exp.Literal) and not below.is_string and float(below.name) != 0
    return not is_number and not isinstance(below, exp.Nullif)


def _rounds(node: exp.Cast) -> bool:
    """Is a fraction cast to a whole number? DuckDB rounds it, Spark cuts it."""
    whole = node.this.unnest()
    return node.to.this in WHOLE_NUMBERS and isinstance(whole, exp.Div | exp.Avg | exp.Sqrt)


def _pattern_differs(node: exp.Expression) -> bool:
    pattern = node.expression
    if not isinstance(pattern, exp.Literal):
        return True
    bare = re.sub(r"\\.|\[(\\.|[^\]])*\]", "", pattern.name)  # without escapes and classes
    return "$" in bare[:-1]


def _argument(node: exp.PercentileCont) -> exp.Expression | None:
    is_double = isinstance(node.this, exp.Cast) and node.this.to.this is exp.DType.DOUBLE
    return node.expression if is_double else None


def _is_nested(node: exp.Explode) -> bool:
    return not isinstance(node.parent, exp.Select | exp.Alias)


def _joins_by_name(node: exp.SetOperation) -> bool:
    return bool(node.args.get("by_name"))


def _is_recursive_distinct(node: exp.With) -> bool:
    return bool(node.args.get("recursive")) and any(
        isinstance(cte.this, exp.Union) and cte.this.args.get("distinct") and _names_itself(cte)
        for cte in node.expressions
    )


def _names_itself(cte: exp.CTE) -> bool:
    return any(table.name == cte.alias for table in cte.this.find_all(exp.Table))


RULES: dict[str, tuple[type[exp.Expression], Rule, str]] = {
    "division": (exp.Div, _divides_freely, "Spark stops at x / 0: divide by nullif(x, 0)"),
    "whole number": (exp.Cast, _rounds, "one engine rounds, the other cuts: floor or round first"),
    "first match": (
        exp.RegexpReplace,
        lambda node: not node.args.get("modifiers"),
        "Spark replaces every match: regexp_replace always has 'g'",
    ),
    "replaced pattern": (exp.RegexpReplace, _pattern_differs, "$ only at the end of a literal"),
    "extracted pattern": (exp.RegexpExtract, _pattern_differs, "$ only at the end of a literal"),
    "matched pattern": (exp.RegexpLike, _pattern_differs, "$ only at the end of a literal"),
    "date_diff": (
        exp.DateDiff,
        lambda node: node.args["unit"].name.upper() not in ("DAY", "MINUTE"),
        "boundaries here, elapsed units there: only days and minutes are ported",
    ),
    "format": (
        exp.TimeToStr,
        lambda node: node.args["format"].name != "%Y-%m",
        "formats differ, week numbers silently: only '%Y-%m' is ported",
    ),
    "percentile": (
        exp.PercentileCont,
        lambda node: not isinstance(_argument(node), exp.Literal),
        "exact on both only as quantile_cont(x::DOUBLE, constant)",
    ),
    "money": (
        exp.DataType,
        lambda node: node.this is exp.DType.DECIMAL and node.sql("duckdb") != "DECIMAL(12, 2)",
        "decimals of other scales are rounded by other rules: money is DECIMAL(12, 2)",
    ),
    "function": (
        exp.Anonymous,
        lambda node: node.name.lower() not in FUNCTIONS and not _is_macro(node),
        "no function known to both engines: write a macro, or a repair in etl/engines/spark_dialect.py",
    ),
    "nearest join": (
        exp.Join,
        lambda node: bool(node.args.get("method")),
        "Spark has no ASOF or positional join: QUALIFY row_number()",
    ),
    "generator": (exp.Explode, _is_nested, "unnest stands alone as a column of its own CTE"),
    "by name": (exp.Union, _joins_by_name, "Spark has no UNION BY NAME: list the columns"),
    "recursion": (exp.With, _is_recursive_distinct, "Spark recurses with UNION ALL only"),
    "ranked groups": (
        exp.Select,
        lambda node: bool(node.args.get("qualify") and node.args.get("group")),
        "Spark has no QUALIFY over GROUP BY: group in one CTE, rank in the next",
    ),
    "replaced column": (
        exp.Star,
        lambda node: bool(node.args.get("replace")),
        "Spark has no * REPLACE: list the columns",
    ),
    "distinct on": (
        exp.Distinct,
        lambda node: bool(node.args.get("on")),
        "Spark has no DISTINCT ON, and which row it keeps is chance: QUALIFY row_number()",
    ),
    "named window": (
        exp.Sub,
        lambda node: isinstance(node.this, exp.Window) and bool(node.this.args.get("alias")),
        "Spark reads `name - x` as one word: (f(x) OVER name) - x",
    ),
}


def offences(text: str, needs_order: bool = False) -> list[str]:
    """Return what keeps one SQL file from meaning the same on both engines, with the reason.

    A file that may be said to Spark as it stands gives an empty list. `needs_order`: the last SELECT
    must say its order, since rows come in another one from many machines.
    """
    found = list(_implicit_aliases(text))
    for tree in statements(text):
        found += [f"{name}: {reason}" for name, reason in _broken(tree)]
        if needs_order and not tree.args.get("order"):
            found.append("order: rows come in another order from many machines: end in ORDER BY")
    return found


def _broken(tree: exp.Expression) -> Iterator[tuple[str, str]]:
    for node in tree.walk():
        if type(node).__name__ not in SHOWN_ALIKE:
            yield "unknown", f"{type(node).__name__} was not shown to mean the same on both engines"
        for name, (kind, is_broken, reason) in RULES.items():
            if isinstance(node, kind) and is_broken(node):
                yield name, f"{reason}: {node.sql('duckdb')[:80]}"


def _implicit_aliases(text: str) -> Iterator[str]:
    for tree in statements(text):
        for node in tree.find_all(exp.Alias, exp.TableAlias):
            name = node.args["alias"] if isinstance(node, exp.Alias) else node.this
            start = name.meta.get("start") if name else None
            if start is None or isinstance(node.parent, exp.CTE):
                continue
            before = text[:start].rstrip('" \n')
            if not before.upper().endswith("AS"):
                yield f"alias: AS is always written: {node.sql('duckdb')[:80]}"
