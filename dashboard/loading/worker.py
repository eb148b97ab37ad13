"""A load in a process of its own, so that pages stay quick and it can be stopped at any moment.

It answers a LoadRequest with LoadMessages: each step, and how it ended. Started by process.py only.
"""

import tempfile
from dataclasses import dataclass, field
from pathlib import Path

from dashboard.errors import UserError
from etl.cancellation import Stopped
from etl.folder.atomic_write import write_whole
from etl.folder.fault_log import report_fault
from etl.folder.regular_file import small_text
from etl.load import load
from etl.load_report import Account
from etl.mapping.mapping import Mapping
from etl.mapping.toml_writer import mapping_text
from etl.worker_process import Send, ignore_stop, stop_by_interrupt

UNSURE = "nothing was changed unless “What was loaded” shows it"


@dataclass(frozen=True)
class LoadRequest:
    """What to load, and where; `scratch` takes what does not last, `keep_as` the mapping."""

    paths: tuple[Path, ...]
    folder: Path
    scratch: Path
    mapping: Mapping | None
    keep_as: Path | None
    settings: dict[str, str]
    is_check: bool
    decisions: dict[str, object] = field(default_factory=dict)


@dataclass(frozen=True)
class LoadMessage:
    """What a load reports: a step, or its end: an account, a problem or what was stopped."""

    step: str = ""
    account: Account | None = None
    problem: str = ""
    stopped: str = ""
    option: str = ""  # of LoadOptions, which the problem wants decided


def answer(request: LoadRequest, send: Send) -> None:
    """Load in the child; a stop interrupts it, so that it clears away what it began."""
    stop_by_interrupt()
    tempfile.tempdir = str(request.scratch)
    run(request, send)


def run(request: LoadRequest, send: Send) -> None:
    """Load, reporting each step; keep the mapping when all went well."""
    try:
        account = load(
            request.paths,
            request.folder,
            mapping=request.mapping,
            settings=request.settings,
            is_check=request.is_check,
            **request.decisions,
            progress=lambda step: send(LoadMessage(step=step)),
        )
        ignore_stop()  # it is published
        problem = "" if request.is_check else not_kept(request)
        send(LoadMessage(problem=problem) if problem else LoadMessage(account=account))
    except UserError as trouble:
        send(LoadMessage(problem=str(trouble), option=getattr(trouble, "option", "")))
    except Stopped as stop:
        send(LoadMessage(stopped=str(stop)))
    except Exception as fault:
        send(LoadMessage(problem=report_fault(fault, UNSURE)))


def not_kept(request: LoadRequest) -> str:
    """Write the mapping where later exports find it; say why it could not be, or nothing."""
    if request.mapping is None or request.keep_as is None:
        return ""
    if request.keep_as.exists() and small_text(request.keep_as) != mapping_text(request.mapping):
        return (
            f"loaded, but the mapping was not kept: {request.keep_as.name} is another source's; "
            "download it below and keep it under another name"
        )
    try:
        request.keep_as.parent.mkdir(exist_ok=True)
        write_whole(request.keep_as, mapping_text(request.mapping).encode("utf-8"))
    except OSError as error:
        return f"loaded, but the mapping was not kept ({error.strerror}); download it below"
    return ""
