"""A sheet → the terminal, or the file that a command names, .html or .pdf."""

import argparse
from collections.abc import Callable
from pathlib import Path
from typing import TypeVar

from dashboard.cli.argument_types import path
from dashboard.cli.terminal import say
from dashboard.text import pdf
from etl.folder.atomic_write import write_whole

Made = TypeVar("Made")


def add_out(command: argparse.ArgumentParser) -> None:
    """Add the option that gives a file instead of text."""
    command.add_argument(
        "--out", type=path, metavar="FILE", help="a .html or .pdf file (default: as text)"
    )


def show_sheet(
    out: Path | None,
    what: str,
    make: Callable[[], Made],
    as_text: Callable[[Made], str],
    html: Callable[[Made], str],
) -> int:
    """Make a sheet; write it as the file `out`, else print it. Raises PdfError.

    A file of another kind is refused before the sheet is made; `what`: the thing to be written.
    """
    if out is None:
        say(as_text(make()))
        return 0
    check_paper(out, what)
    write_paper(out, html(make()))
    return 0


def check_paper(out: Path, what: str) -> None:
    """Raise PdfError unless the file is named .html or .pdf; `what`: the thing to be written."""
    if out.suffix.lower() not in (".html", ".pdf"):
        raise pdf.PdfError(f"{out}: {what} is written as .html or .pdf; name one of these")


def write_paper(out: Path, html: str) -> None:
    """Write a page of HTML as the named file and say so. Raises PdfError when it cannot be."""
    content = pdf.pdf_of(html) if out.suffix.lower() == ".pdf" else html.encode("utf-8")
    try:
        write_whole(out, content)
    except OSError as error:
        raise pdf.PdfError(f"{out}: cannot be written ({error.strerror})") from None
    say(f"written: {out}")
