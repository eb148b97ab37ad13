"""A page of HTML → PDF, by a browser of this machine."""

import os
import shutil
import subprocess
import tempfile
from pathlib import Path

from dashboard.errors import UserError

NAMES = ("chromium", "chromium-browser", "google-chrome", "chrome", "msedge", "microsoft-edge")
FLAGS = (
    "--headless", "--disable-gpu", "--no-first-run", "--disable-background-networking",
    "--disable-component-update", "--disable-sync", "--disable-quic", "--no-pdf-header-footer",
)  # fmt: skip


class PdfError(UserError):
    """No PDF could be made; the message says what to do instead."""


def browser() -> str | None:
    """Return a browser of this machine that can print, or None."""
    return os.environ.get("CHROMIUM") or next(filter(None, map(shutil.which, NAMES)), None)


def pdf_of(html: str) -> bytes:
    """Return the PDF of an HTML text.

    Raises PdfError when there is no browser, or when it fails.
    """
    path = browser()
    if path is None:
        raise PdfError(
            "no Chromium, Chrome or Edge was found to make the PDF; write the .html file and print "
            "it from any browser"
        )
    with tempfile.TemporaryDirectory(prefix="ohmhours-") as scratch:
        source, target = Path(scratch) / "page.html", Path(scratch) / "page.pdf"
        source.write_text(html, encoding="utf-8")
        as_root = ["--no-sandbox"] if hasattr(os, "geteuid") and os.geteuid() == 0 else []
        command = [
            path, *FLAGS, *as_root, f"--user-data-dir={scratch}/profile",
            f"--print-to-pdf={target}", source.as_uri(),
        ]  # fmt: skip
        try:
            subprocess.run(command, capture_output=True, timeout=120, check=False)
        except (OSError, subprocess.TimeoutExpired):
            raise PdfError(f"{path} did not make the PDF; write the .html file instead") from None
        if not target.is_file():
            raise PdfError(f"{path} did not make the PDF; write the .html file instead")
        return target.read_bytes()
