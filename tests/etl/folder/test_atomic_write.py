"""A file written in one step leaves nothing else."""

import os
from pathlib import Path

from etl.folder.atomic_write import write_whole


def test_what_a_killed_writing_left_is_removed_by_a_later_one(tmp_path: Path):
    old, new, other = (
        tmp_path / n for n in (".a.toml.0a1b2c3d", ".a.toml.0a1b2c3e", ".b.toml.0a1b2c3d")
    )
    for path in (old, new, other):
        path.write_text("half", encoding="utf-8")
    for path in (old, other):
        os.utime(path, (0, 0))
    write_whole(tmp_path / "a.toml", b"whole")
    assert sorted(path.name for path in tmp_path.iterdir()) == [new.name, other.name, "a.toml"]
