"""A drawn shop: a few rows as a person writes them, loaded the way every record is."""

from pathlib import Path

from etl.load import load

TODAY_FIELDS = ("jobs", "visits", "readings", "part_lines")


def shop(folder: Path, **tables: str) -> Path:
    """Load drawn tables (columns parted by |) into a database folder and return the folder.

    Each table's first line is its header, in canonical names. Blank cells are empty.
    """
    sources = folder / "in"
    sources.mkdir(parents=True, exist_ok=True)
    paths = []
    for name, drawing in tables.items():
        path = sources / f"{name}.csv"
        path.write_text(_csv(drawing), encoding="utf-8")
        paths.append(path)
    load(paths, folder / "db")
    return folder / "db"


def _csv(drawing: str) -> str:
    lines = [line.strip() for line in drawing.strip().splitlines() if line.strip()]
    rows = [[cell.strip() for cell in line.split("|")] for line in lines]
    return "\n".join(",".join(f'"{cell}"' if cell else "" for cell in row) for row in rows) + "\n"
