"""The complaint sheet for the terminal."""

from dashboard.sheet.figures import Sheet

MARKS = {
    "test": "  [ ] ",
    "open": "",
    "heading": "",
    "danger": "  !! ",
    "warning": "  ! ",
    "note": "  - ",
}


def as_text(sheet: Sheet) -> str:
    """Write the sheet as plain text, a block per heading; empty blocks are left out."""
    causes = [f"{name}, {share}, {jobs} of ours" for name, share, jobs in sheet.causes]
    blocks = {
        "Usual causes": [f"  {line}" for line in causes],
        "Looks and tests, in order": [MARKS.get(line.kind, "") + line.text for line in sheet.lines],
        "Before closing": [f"  [ ] {line}" for line in sheet.before_closing],
        "Bring": [f"  {line}" for line in sheet.parts],
        "Time and price": [f"  {line}" for line in sheet.plan],
        "Last jobs": [f"  {line}" for line in sheet.jobs],
    }
    shown = ["\n".join([head, *lines]) for head, lines in blocks.items() if lines]
    shown.insert(-1, sheet.came_back)
    remarks = "\n".join(line.text for line in sheet.remarks)
    return "\n\n".join([f"{sheet.title}\n{sheet.basis}", *shown, remarks])
