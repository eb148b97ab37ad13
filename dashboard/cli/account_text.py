"""What became of every row of a load, as a table for the terminal."""

from etl.load_report import Account


def account_text(account: Account) -> str:
    """Return the account as a table: each row of each file counted once."""
    heads = ("file", "holds", "read", "loaded", "duplicate", "superseded", "quarantined")
    lines = [
        (
            file.file + (f" [{file.sheet}]" if file.sheet else ""),
            file.table,
            *(f"{n:,}" for n in (file.read, file.loaded, file.duplicate, file.superseded)),
            f"{file.quarantined:,}",
        )
        for file in account.files
    ]
    widths = [max(len(line[i]) for line in [heads, *lines]) for i in range(len(heads))]
    text = [
        "  ".join(
            cell.ljust(width) if i < 2 else cell.rjust(width)
            for i, (cell, width) in enumerate(zip(line, widths, strict=True))
        ).rstrip()
        for line in [heads, *lines]
    ]
    for file in account.files:
        for code, rows in file.reasons.items():
            text.append(f"  {file.file}: {rows:,} × {code}")
        if file.missing:
            text.append(f"  {file.file}: {file.missing}: not in this file")
        if file.unmapped:
            text.append(f"  {file.file}: columns not used: {file.unmapped}")
        text += [f"  {file.file}: {note}" for note in file.notes]
    text += [f"To decide: {message}" for _, message in account.asked]
    if account.carried:
        text.append(account.carried)
    if account.unclaimed:
        text.append("Not claimed by any mapping: " + ", ".join(account.unclaimed))
    for field, kind, word, rows in account.unknown_words[:10]:
        text.append(
            f"  {rows:,} rows say {word!r} ({field}{', ' + kind if kind else ''}): not known"
        )
    return "\n".join(text)
