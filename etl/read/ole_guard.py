"""The sector chains of an OLE file (.xls): checked before the workbook reader follows them.

The reader follows a chain that leads back into itself until memory is used up, so a damaged file
could take the whole machine. Source: [MS-CFB] Compound File Binary File Format, sections 2.2-2.5.
"""

import struct
from collections.abc import Iterator, Sequence

from etl.read.source_table import UnreadableFile

OLE = b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1"
LAST_SECTOR = 0xFFFFFFFA  # higher numbers are marks: end of chain, free, part of the tables
HEADER_TABLE = (76, 109)  # offset and length of the part of the sector table in the header


def check_chains(file: str, content: bytes) -> None:
    """Raise UnreadableFile when a chain of sectors leads back into itself or out of the file."""
    try:
        size = 1 << _shift(content)
        following = _numbers(content, size, list(_table_sectors(content, size)))
        small = [*_chain(following, struct.unpack_from("<I", content, 60)[0])]
        is_sound = not has_loop(following) and not has_loop(_numbers(content, size, small))
    except (struct.error, IndexError):
        is_sound = False
    if not is_sound:
        raise UnreadableFile(file, "broken_workbook", "its sectors do not form chains")


def has_loop(following: Sequence[int]) -> bool:
    """Say whether following the numbers from any place comes back to a place passed before."""
    passed = [0] * len(following)
    for start in range(len(following)):
        at = start
        while at < len(following) and not passed[at]:
            passed[at] = start + 1
            at = following[at]
        if at < len(following) and passed[at] == start + 1:
            return True
    return False


def _shift(content: bytes) -> int:
    shift: int = struct.unpack_from("<H", content, 30)[0]
    if shift not in (9, 12):  # sectors of 512 or 4096 bytes, no other (2.2)
        raise IndexError(shift)
    return shift


def _table_sectors(content: bytes, size: int) -> Iterator[int]:
    """Yield the sectors that hold the table of chains: 109 in the header, the rest in a chain."""
    offset, count = HEADER_TABLE
    yield from _used(struct.unpack_from(f"<{count}I", content, offset))
    at = struct.unpack_from("<I", content, 68)[0]
    passed: set[int] = set()
    while at < LAST_SECTOR:
        if at in passed:
            raise IndexError(at)
        passed.add(at)
        *sectors, at = _numbers(content, size, [at])
        yield from _used(sectors)


def _used(sectors: Sequence[int]) -> list[int]:
    return [sector for sector in sectors if sector < LAST_SECTOR]


def _numbers(content: bytes, size: int, sectors: Sequence[int]) -> list[int]:
    return [
        number
        for sector in sectors
        for number in struct.unpack_from(f"<{size // 4}I", content, (sector + 1) * size)
    ]


def _chain(following: Sequence[int], at: int) -> Iterator[int]:
    passed: set[int] = set()
    while at < LAST_SECTOR:
        if at in passed:
            raise IndexError(at)
        passed.add(at)
        yield at
        at = following[at]
