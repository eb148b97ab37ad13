"""RESULTS.md: one section for each bench, replaced without touching the others."""

import re
from pathlib import Path

RESULTS = Path(__file__).with_name("RESULTS.md")


def write_section(title: str, lines: list[str], path: Path = RESULTS) -> None:
    """Put lines under the heading of that title: in place of what stood there, else at the end."""
    text = path.read_text(encoding="utf-8") if path.exists() else ""
    sections = [section.strip() for section in re.split(r"^(?=# )", text, flags=re.MULTILINE)]
    heading = f"# {title}"
    written = "\n".join([heading, "", *lines]).strip()
    places = [i for i, section in enumerate(sections) if section.splitlines()[:1] == [heading]]
    if places:
        sections[places[0]] = written
    else:
        sections.append(written)
    path.write_text("\n\n".join(filter(None, sections)) + "\n", encoding="utf-8")
