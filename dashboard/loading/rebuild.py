"""Save settings by which the records are judged, and rebuild the database, as one action."""

from collections.abc import Mapping
from pathlib import Path
from typing import Any

from dashboard.settings.file import checked, for_load, read_settings, write_settings
from etl.folder.versions import current
from etl.rebuild import accept_words


def save_and_rebuild(folder: Path, changed: Mapping[str, Any]) -> None:
    """Write the settings and publish a version rebuilt with them; nothing loaded: only write.

    Raises a UserError when either is impossible, for instance while another load runs or when the
    published version is damaged; then both the settings and the database are unchanged.
    """
    if current(folder) is None:
        write_settings(folder, changed)
        return
    chosen = read_settings(folder) | checked(changed)
    accept_words(folder, [], for_load(chosen), lambda: write_settings(folder, changed))
