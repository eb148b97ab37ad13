"""A page of HTML → the file that a command names, .html or .pdf."""

from pathlib import Path

from dashboard.cli.terminal import say
from dashboard.month import pdf
from etl.folder.atomic_write import write_whole


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
