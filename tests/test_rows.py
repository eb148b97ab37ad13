"""The rows of a table as objects: those that pandas gives, whatever the columns hold."""

import pandas as pd

from dashboard.rows import each_row

TABLE = pd.DataFrame(
    {
        "text": ["a", None, "c"],
        "number": [1.5, None, 3.0],
        "count": pd.array([1, None, 3], "Int32"),
        "is_known": pd.array([True, None, False], "boolean"),
        "day": pd.to_datetime(["2026-01-02", None, "2026-03-04"]),
        "words": [["a"], None, []],
        "class": [1, 2, 3],
    },
    index=[7, 8, 9],
)


def test_the_rows_are_those_of_itertuples_with_numbers_as_pythons_own():
    rows, wanted = list(each_row(TABLE)), list(TABLE.itertuples())
    assert [written(row) for row in rows] == [written(row) for row in wanted]
    assert rows[0]._fields == wanted[0]._fields
    assert (rows[0].Index, rows[0].text) == (7, "a")
    assert (type(rows[0].count), type(rows[0].is_known)) == (int, bool)


def written(row: tuple) -> list[str]:
    return [str(cell) for cell in row]


def test_a_table_without_rows_has_none():
    assert list(each_row(TABLE[:0])) == []
    assert list(each_row(pd.DataFrame())) == []


def test_two_columns_of_one_name_stay_apart():
    twice = pd.concat([TABLE[["class"]], TABLE[["class"]] * 2], axis=1)
    assert [tuple(row) for row in each_row(twice)] == [(7, 1, 2), (8, 2, 4), (9, 3, 6)]
