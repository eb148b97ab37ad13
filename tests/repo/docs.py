"""The README with the documents that it leads to."""

from pathlib import Path

ROOT = Path(__file__).parents[2]
DOCS = ROOT / "dashboard" / "docs"
PAGES = (ROOT / "README.md", *sorted(DOCS.glob("*.md")))


def text(name: str = "") -> str:
    """Return one document of dashboard/docs by name, or the README and all of them together."""
    if name:
        return (DOCS / f"{name}.md").read_text(encoding="utf-8")
    return "\n".join(page.read_text(encoding="utf-8") for page in PAGES)
