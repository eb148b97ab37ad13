"""JSON and JSON Lines: one object a row, numbers as they were written."""

from pathlib import Path

import pytest

from etl.read import SourceTable, UnreadableFile, read_tables


def read(folder: Path, content: str | bytes, name: str = "export.json") -> list[SourceTable]:
    path = folder / name
    path.write_bytes(content.encode() if isinstance(content, str) else content)
    return read_tables(path)


def rows(table: SourceTable) -> list[dict[str, str | None]]:
    return [dict(zip(table.header, row.values(), strict=True)) for row in table.table.to_pylist()]


def test_an_array_of_objects_is_a_table(tmp_path):
    (table,) = read(tmp_path, '[{"ticket": 7, "ohm": 9.40}, {"ticket": "008", "done": true}]')
    assert rows(table) == [
        {"ticket": "7", "ohm": "9.40", "done": None},
        {"ticket": "008", "ohm": None, "done": "true"},
    ]
    assert table.row_numbers.to_pylist() == [1, 2]


def test_an_object_with_one_list_is_that_table(tmp_path):
    (table,) = read(tmp_path, '{"made_on": "2026-03-02", "jobs": [{"ticket": 1}]}')
    assert (table.sheet, rows(table)) == (None, [{"ticket": "1"}])


def test_an_object_with_several_lists_is_several_tables(tmp_path):
    tables = read(tmp_path, '{"jobs": [{"ticket": 1}], "visits": [{"visit": 2}]}')
    assert [(table.sheet, rows(table)) for table in tables] == [
        ("jobs", [{"ticket": "1"}]),
        ("visits", [{"visit": "2"}]),
    ]


def test_nested_objects_are_flattened_and_lists_joined(tmp_path):
    (table,) = read(
        tmp_path, '[{"unit": {"kind": "dryer", "built": {"year": 2019}}, "parts": ["A1", 2, null]}]'
    )
    assert rows(table) == [
        {"unit.kind": "dryer", "unit.built.year": "2019", "parts": "A1; 2"},
    ]


def test_two_paths_to_one_name_are_both_kept(tmp_path):
    (table,) = read(tmp_path, '[{"a.b": 1, "a": {"b": 2}}]')
    assert rows(table) == [{"a.b": "1", "a.b (2)": "2"}]


def test_lines_are_rows_and_a_broken_line_is_a_bad_row(tmp_path):
    (table,) = read(tmp_path, '{"a": 1}\n\n{"a": \n[2]\n{"a": 3}\n', "export.jsonl")
    assert rows(table) == [{"a": "1"}, {"a": "3"}]
    assert table.row_numbers.to_pylist() == [1, 5]
    assert [(bad.row_number, bad.code) for bad in table.bad_rows] == [
        (3, "broken_json_line"),
        (4, "broken_json_line"),
    ]


def test_json_lines_are_recognized_by_content_under_any_name(tmp_path):
    (table,) = read(tmp_path, b'\xef\xbb\xbf{"a": 1}\r\n{"a": 2}\r\n', "export.txt")
    assert rows(table) == [{"a": "1"}, {"a": "2"}]


def test_half_a_surrogate_pair_is_no_text(tmp_path):
    """RFC 8259, section 8.2: such text may have unpredictable results."""
    (table,) = read(tmp_path, '[{"a": "\\ud800"}, {"a": "\\ud83d\\ude00"}]')
    assert rows(table) == [{"a": "😀"}]
    assert [(bad.row_number, bad.code) for bad in table.bad_rows] == [(1, "undecodable_bytes")]


def test_numbers_are_never_rounded_and_words_of_no_value_are_text(tmp_path):
    (table,) = read(tmp_path, '[{"a": 12345678901234567890.10, "b": NaN, "c": 1e400}]')
    assert rows(table) == [{"a": "12345678901234567890.10", "b": "NaN", "c": "1e400"}]


def test_deep_nesting_is_refused_in_one_line(tmp_path):
    with pytest.raises(UnreadableFile, match="not valid JSON"):
        read(tmp_path, "[" * 100_000 + "]" * 100_000)


def test_the_line_of_the_fault_is_named(tmp_path):
    with pytest.raises(UnreadableFile, match="line 2"):
        read(tmp_path, '[{"a": 1},\n{"a": 2,}]')


@pytest.mark.parametrize(("content", "problem"), [("[]", "empty_file"), ("[1, 2]", "not_a_table")])
def test_json_without_an_object_is_refused(tmp_path, content, problem):
    with pytest.raises(UnreadableFile) as refused:
        read(tmp_path, content)
    assert refused.value.problem == problem


def test_a_header_in_brackets_is_no_json(tmp_path):
    (table,) = read(tmp_path, "[Ticket],[Opened]\n1,2026-03-02\n", "export.csv")
    assert rows(table) == [{"[Ticket]": "1", "[Opened]": "2026-03-02"}]


def test_lists_of_objects_inside_records_are_tables_by_their_path(tmp_path):
    jobs, visits, parts = read(
        tmp_path,
        '{"jobs": [{"no": 7, "unit": {"kind": "washer"}, "visits": ['
        '{"tech": "A", "parts": [{"pn": "X1"}, {"pn": "X2"}]}, {"tech": "B"}]},'
        '{"no": 8, "tags": ["a", "b"], "visits": []}]}',
    )
    assert [t.sheet for t in (jobs, visits, parts)] == ["jobs", "jobs.visits", "jobs.visits.parts"]
    assert rows(jobs)[1]["tags"] == "a; b"
    assert [list(row.values()) for row in rows(visits)] == [["7", "A"], ["7", "B"]]
    assert parts.header == ["no", "visits.tech", "visits.parts.pn"]
    assert [list(row.values()) for row in rows(parts)] == [["7", "A", "X1"], ["7", "A", "X2"]]


def test_an_item_that_is_no_object_is_a_bad_row_of_its_list(tmp_path):
    jobs, parts = read(tmp_path, '[{"no": 1, "parts": [{"pn": "X"}, 5]}, {"no": 2}]')
    assert (jobs.sheet, parts.sheet) == ("records", "parts")
    assert (parts.table.num_rows, len(parts.bad_rows)) == (1, 1)
