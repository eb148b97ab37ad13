"""Cells of files that a spreadsheet may open: text never becomes a formula there."""

import re

STARTS = ("=", "+", "-", "@", "＝", "＋", "－", "＠", "\t", "\r", "\n", "\0")
NUMBER = re.compile(r"[-+]?[\d.,]+")


# where lists are separated by another sign than the comma, a cell is split there
AFTER_A_DELIMITER = re.compile(r"(?<=[;\t|\r\n])(?=[=+\-@＝＋－＠])(?![-+]?[\d.,]+(?:[;\t|]|\Z))")


def plain(cell: str) -> str:
    """Put an apostrophe before a text that would start a formula; numbers stay numbers.

    Also inside a cell, behind a sign that some spreadsheets take for a delimiter, quoted or not.
    Source: OWASP ASVS 5.0, requirement 1.2.10, and CWE-1236; the full-width signs, the line ends
    and the delimiters, from memory: OWASP, "CSV Injection".
    """
    is_formula = cell.startswith(STARTS) and not NUMBER.fullmatch(cell)
    inside = AFTER_A_DELIMITER.sub("'", cell)
    return f"'{inside}" if is_formula else inside
