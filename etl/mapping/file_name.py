"""The file that a mapping is kept in: a name that every system takes, made once, on saving."""

import re

LONGEST = 80  # characters
DEVICE = re.compile(r"(?i)^(con|prn|aux|nul|com\d|lpt\d)$")
PREFIXED = r"_\1"


def mapping_file_name(name: str) -> str:
    """Return the file name for a mapping, whatever its user called it: letters, digits, _ and -."""
    stem = re.sub(r"[^\w-]+", "_", name)[:LONGEST].strip("_-") or "mapping"
    return f"{DEVICE.sub(PREFIXED, stem)}.toml"
