"""The proposed mapping of unknown exports as text, with what to do with it."""

import json
import shlex
from collections.abc import Sequence
from dataclasses import replace
from pathlib import Path

from dashboard.text.escape_markdown import printable
from etl.mapping.file_name import free_name, mapping_file_name
from etl.mapping.mapping import bundled_mappings
from etl.mapping.proposal import Proposal
from etl.mapping.propose_all import mapping_of_all
from etl.mapping.propose_lines import propose_tables
from etl.mapping.toml_writer import mapping_text
from etl.personal.contact import GONE
from etl.personal.redact_names import shown_columns
from etl.read import SourceTable, expand, read_tables


def proposals_text(paths: Sequence[str], folder: Path | None = None) -> str:
    """Return one proposed mapping for all tables of the files, ready to save and edit.

    It ends with what is missing and the next command, as comments. `folder` is the --db of that
    command where the user named one.
    """
    sources = [source for path in expand(paths) for source in read_tables(path)]
    proposals = [shown(one, source) for source in sources for one in propose_tables(source)]
    remarks = {
        (proposal.table, match.field): f"{match.confidence:.2f} sure"
        for proposal in reversed(proposals)
        for match in proposal.matches
    }
    kept = bundled_mappings(folder / "mappings" if folder else None)
    name = free_name(_name_of(sources[0]), [mapping.name for mapping in kept])
    usable = [p for p in proposals if not _why_not_used(p, proposals)] or proposals
    lines = [mapping_text(mapping_of_all(name, usable), remarks)]
    for proposal in proposals:
        place = f"{proposal.file}{f', {proposal.sheet}' if proposal.sheet else ''}"
        if proposal not in usable:
            lines.append(f"# {place}: {_why_not_used(proposal, proposals)}: left out")
            continue
        if proposal.missing:
            wanted = ", ".join(proposal.missing)
            lines.append(f"# {place}: required and not found: {wanted}")
        if proposal.unmatched:
            names = json.dumps(proposal.unmatched, ensure_ascii=False)  # line ends escaped
            lines.append(f"# {place}: not used: {names}")
        lines += [f"# {place}: asked: {_on_one_line(one)}" for one in proposal.asked]
    return "\n".join([*lines, *_next_steps(name, paths, folder, usable)])


def _why_not_used(proposal: Proposal, others: Sequence[Proposal]) -> str:
    """Return why a table is not part of the mapping, "" where it is."""
    heads = [p for p in others if p.table == "jobs" and not p.missing]
    if not heads or not proposal.holds_nothing:
        return ""
    if proposal.table == "jobs" and any(m.field == "line_type" for m in proposal.matches):
        return (
            "its lines lack the day, kind and ending of their jobs, so their amounts and times "
            f"cannot be loaded from here; join each line to its row of {heads[0].file} to load them"
        )
    return "no jobs, visits, readings or part lines found"


def _next_steps(
    name: str, paths: Sequence[str], folder: Path | None, proposals: Sequence[Proposal]
) -> list[str]:
    """Return what to do with the text above, as comments that TOML takes."""
    steps = [f"# Next: save this as {name}.toml"]
    if any(proposal.asked for proposal in proposals):
        steps[0] += ", answer what is asked"
    if any(proposal.missing for proposal in proposals):
        steps[0] += ", name the columns that are missing (or [table.constants] for all rows)"
    command = ["ohmhours", "load", "--mapping", f"{name}.toml", *map(str, paths)]
    command += ["--db", str(folder)] if folder else []
    return [f"{steps[0]}, correct what is wrong, then run:", f"#   {shlex.join(command)}"]


def shown(proposal: Proposal, source: SourceTable) -> Proposal:
    """Return a proposal in which no cell that was taken for a header, and no contact, is left."""
    mapped = [match.header for match in proposal.matches]
    columns = dict(zip(source.header, shown_columns(source.header, mapped), strict=True))
    return replace(
        proposal,
        file=source.shown_file.replace(GONE, "*"),
        sheet=source.sheet if source.shown_sheet == source.sheet else None,
        unmatched=tuple(columns[header] for header in proposal.unmatched),
    )


def _on_one_line(text: str) -> str:
    return printable(" ".join(text.split()))


def _name_of(source: SourceTable) -> str:
    """Return a short name for the mapping of a file."""
    stem = Path(source.shown_file).stem.replace(GONE, "")
    return mapping_file_name(stem).removesuffix(".toml")
