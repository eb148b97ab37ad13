"""Delimited text as shops export it: every record in one place, every cell as written."""

import tracemalloc
from pathlib import Path

import pytest

from etl.read import Limits, SourceTable, UnreadableFile, read_tables


def read(folder: Path, content: bytes, limits: Limits | None = None) -> SourceTable:
    path = folder / "export.csv"
    path.write_bytes(content)
    (table,) = read_tables(path, limits)
    return table


def cells(table: SourceTable) -> list[list[str | None]]:
    return [list(row.values()) for row in table.table.to_pylist()]


def bad(table: SourceTable) -> list[tuple[int, str]]:
    return [(row.row_number, row.code) for row in table.bad_rows]


def test_quoted_commas_quotes_and_line_ends_are_kept(tmp_path):
    """RFC 4180, section 2: rules 1 to 7 in three records."""
    table = read(
        tmp_path,
        b'a,b,c\r\n"x, y","He said ""hi""","line1\r\nline2"\r\n,,\r\n"",z, q \r\n',
    )
    assert table.header == ["a", "b", "c"]
    assert cells(table) == [
        ["x, y", 'He said "hi"', "line1\r\nline2"],
        [None, None, None],
        [None, "z", " q "],
    ]
    assert table.bad_rows == []


def test_rows_carry_the_number_of_their_first_line(tmp_path):
    """Line 1 is the header; the record of lines 2 and 3 is row 2."""
    table = read(tmp_path, b'a,b\n1,"two\nlines"\n2,x\n\n3,y\n')
    assert table.row_numbers.to_pylist() == [2, 4, 6]


def test_the_last_line_break_is_optional(tmp_path):
    """RFC 4180, section 2, rule 2."""
    assert cells(read(tmp_path, b"a,b\r\n1,2")) == cells(read(tmp_path, b"a,b\r\n1,2\r\n"))


@pytest.mark.parametrize("end", [b"\n", b"\r\n", b"\r"])
@pytest.mark.parametrize("delimiter", [b",", b";", b"\t", b"|"])
def test_every_delimiter_and_line_end(tmp_path, delimiter, end):
    rows = [[b"ticket", b"note"], [b"1", b"9.4 ohm"], [b"2", b"OL"]]
    table = read(tmp_path, b"".join(delimiter.join(row) + end for row in rows))
    assert table.header == ["ticket", "note"]
    assert cells(table) == [["1", "9.4 ohm"], ["2", "OL"]]
    assert table.row_numbers.to_pylist() == [2, 3]


def test_decimal_commas_do_not_pass_for_delimiters(tmp_path):
    table = read(tmp_path, b"ticket;ohm;volt\n1;9,4;118,5\n2;9,6;119,0\n3;10,1;118,0\n")
    assert cells(table)[0] == ["1", "9,4", "118,5"]


def test_commas_in_quoted_notes_do_not_pass_for_delimiters(tmp_path):
    table = read(tmp_path, b'ticket;note\n1;"no heat, no drum, no light"\n2;"a, b, c"\n')
    assert table.header == ["ticket", "note"]


def test_a_first_line_that_names_the_delimiter_is_obeyed(tmp_path):
    """`sep=;` before the header is how spreadsheets mark it (common practice, no source)."""
    table = read(tmp_path, b"sep=;\r\na;b,c\r\n1;2\r\n")
    assert table.header == ["a", "b,c"]
    assert table.row_numbers.to_pylist() == [3]


@pytest.mark.parametrize(
    "encoding", ["utf-8", "utf-8-sig", "utf-16", "cp1252"], ids=lambda name: name
)
def test_every_encoding_gives_the_same_text(tmp_path, encoding):
    text = "Ticket,Käufer\r\n1,µF °C é ½\r\n2,plain\r\n"
    table = read(tmp_path, text.encode(encoding))
    assert table.header == ["Ticket", "Käufer"]
    assert cells(table) == [["1", "µF °C é ½"], ["2", "plain"]]


def test_big_endian_utf_16_is_read_by_its_mark(tmp_path):
    table = read(tmp_path, b"\xfe\xff" + "a,b\n1,Ω\n".encode("utf-16-be"))
    assert cells(table) == [["1", "Ω"]]


def test_one_bad_byte_costs_one_row_of_a_utf_8_file(tmp_path):
    table = read(tmp_path, "a,b\n1,Ω\n2,µ\n".encode() + b"3,\xe9\n4,x\n")
    assert cells(table) == [["1", "Ω"], ["2", "µ"], ["4", "x"]]
    assert bad(table) == [(4, "undecodable_bytes")]
    assert table.bad_rows[0].text == "3,\ufffd"


def test_a_replacement_character_that_was_written_is_text(tmp_path):
    """U+FFFD was lost by an earlier program; its row still counts."""
    table = read(tmp_path, "a,b\n1,caf\ufffd\n".encode())
    assert cells(table) == [["1", "caf\ufffd"]]
    assert table.bad_rows == []


def test_a_byte_that_windows_1252_does_not_know_costs_its_row(tmp_path):
    """0x81 is unassigned in Windows-1252 (Unicode mapping table CP1252.TXT)."""
    table = read(tmp_path, b"a,b\n1,caf\xe9\n2,\x81\n3,\xfcber\n")
    assert cells(table) == [["1", "café"], ["3", "über"]]
    assert bad(table) == [(3, "undecodable_bytes")]


def test_ragged_rows_are_set_aside_with_their_line(tmp_path):
    table = read(tmp_path, b"a,b,c\n1,2,3\n1,2\n1,2,3,4\n5,6,7\n")
    assert cells(table) == [["1", "2", "3"], ["5", "6", "7"]]
    assert bad(table) == [(3, "ragged_row"), (4, "ragged_row")]


def test_delimiters_left_at_the_end_of_a_row_lose_nothing(tmp_path):
    table = read(tmp_path, b"a,b\n1,2,\n3,4,,\n")
    assert cells(table) == [["1", "2"], ["3", "4"]]


def test_rows_of_delimiters_at_the_end_are_fill(tmp_path):
    table = read(tmp_path, b"a,b\n1,2\n,\n3,4\n,\n,\n")
    assert cells(table) == [["1", "2"], [None, None], ["3", "4"]]
    assert table.notes == ["2 rows without any content at the end were left out"]


def test_every_record_is_a_row_a_bad_row_or_fill(tmp_path):
    """5 records: 2 rows, 1 ragged, 1 misquoted, 1 fill."""
    table = read(tmp_path, b'a,b\n1,2\n3\n4,"x"y\n5,6\n,\n')
    assert table.table.num_rows + len(table.bad_rows) + 1 == 5
    assert bad(table) == [(3, "ragged_row"), (4, "broken_quotes")]


def test_an_inch_mark_inside_plain_text_is_text(tmp_path):
    assert cells(read(tmp_path, b'a,b\n1,12" drum\n')) == [["1", '12" drum']]


def test_a_stray_quote_never_swallows_rows_silently(tmp_path):
    """The quote of line 2 closes in line 4: a ragged record that holds line 3 whole."""
    with pytest.raises(UnreadableFile, match="from line 2") as refused:
        read(tmp_path, b'a,b,c\n1,2,"x\n3,4,y\n5,6",z\n7,8,w\n')
    assert refused.value.problem == "unclosed_quote"


def test_a_quote_in_the_header_is_not_passed_over(tmp_path):
    with pytest.raises(UnreadableFile, match="above line 2"):
        read(tmp_path, b'"Ticket" no,Opened\n1,2026-03-02\n')


def test_title_lines_above_the_header_are_noted(tmp_path):
    table = read(tmp_path, b"Closed jobs 2026\n\nTicket,Opened\n1,2026-03-02\n")
    assert table.header == ["Ticket", "Opened"]
    assert table.row_numbers.to_pylist() == [4]
    assert table.notes == ["line 1, before the header, was left out"]


def test_a_table_of_one_column_keeps_its_first_line_as_header(tmp_path):
    table = read(tmp_path, b"Ticket\n1\n2\n")
    assert (table.header, cells(table)) == (["Ticket"], [["1"], ["2"]])


def test_names_are_as_written_unless_repeated_or_blank(tmp_path):
    table = read(tmp_path, b"Job No ,Ohms,Ohms,,Ohms (2)\n1,2,3,4,5\n")
    assert table.header == ["Job No ", "Ohms", "Ohms (2)", "column 4", "Ohms (2) (2)"]
    assert len(table.notes) == 3
    assert len(set(table.header)) == 5


def test_a_field_above_the_limit_is_refused_with_its_line(tmp_path):
    with pytest.raises(UnreadableFile, match="line 3 has a field of more than 50") as refused:
        read(tmp_path, b"a,b\n1,2\n3," + b"x" * 60 + b"\n", Limits(max_cell_chars=50))
    assert refused.value.problem == "line_too_long"


def test_a_table_above_the_limit_of_rows_is_refused(tmp_path):
    with pytest.raises(UnreadableFile, match="more than 2 rows") as refused:
        read(tmp_path, b"a,b\n1,2\n3,4\n5,6\n", Limits(max_rows=2))
    assert refused.value.problem == "too_large"


def test_a_large_file_is_never_held_as_python_objects(tmp_path):
    """3 MB in 60,000 rows: as lists of str they would take over 30 MB of Python memory."""
    row = b"%d,2026-03-02,no heat,9.4,118.5,ok,first visit,0001\n"
    content = b"a,b,c,d,e,f,g,h\n" + b"".join(row % i for i in range(60_000))
    path = tmp_path / "export.csv"
    path.write_bytes(content)
    tracemalloc.start()
    (table,) = read_tables(path)
    _, peak = tracemalloc.get_traced_memory()
    tracemalloc.stop()
    assert table.table.num_rows == 60_000
    assert table.row_numbers[-1].as_py() == 60_001
    assert peak < 6 * len(content)
