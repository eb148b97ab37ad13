"""The file that a mapping is kept in: a name that every system takes, made once, on saving."""

import re
from collections.abc import Iterable
from itertools import count

LONGEST = 80  # characters
DEVICE = re.compile(r"(?i)^(con|prn|aux|nul|com\d|lpt\d)$")
PREFIXED = r"_\1"


def mapping_file_name(name: str) -> str:
    """Return the file name for a mapping, whatever its user called it: letters, digits, _ and -."""
    stem = re.sub(r"[^\w-]+", "_", name)[:LONGEST].strip("_-") or "mapping"
    return f"{DEVICE.sub(PREFIXED, stem)}.toml"


def free_name(name: str, taken: Iterable[str]) -> str:
    """Return the name, with a number behind it where another mapping's file has it."""
    files = {mapping_file_name(other).casefold() for other in taken}
    names = (name if i == 1 else f"{name}_{i}" for i in count(1))
    return next(free for free in names if mapping_file_name(free).casefold() not in files)
