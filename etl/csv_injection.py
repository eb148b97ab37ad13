"""Cells of files that a spreadsheet may open: text never becomes a formula there."""

import re

STARTS = ("=", "+", "-", "@", "＝", "＋", "－", "＠", "\t", "\r", "\n", "\0")
NUMBER = re.compile(r"[-+]?[\d.,]+")


def plain(cell: str) -> str:
    """Put an apostrophe before a text that would start a formula; numbers stay numbers.

    source: OWASP ASVS 5.0, requirement 1.2.10, and CWE-1236; the full-width signs and the line
    ends, from memory: OWASP, "CSV Injection".
    """
    is_formula = cell.startswith(STARTS) and not NUMBER.fullmatch(cell)
    return f"'{cell}" if is_formula else cell
