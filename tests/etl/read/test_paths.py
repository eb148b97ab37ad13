"""Paths, folders and globs: what they name is read, what they do not is said."""

import os
import sys
from pathlib import Path

import pytest

from etl.read import UnreadableFile, expand, read_tables
from etl.read.formats import tables_of
from etl.read.source_table import Limits


def touched(folder: Path, *names: str) -> None:
    for name in names:
        path = folder / name
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_bytes(b"a,b\n1,2\n")


def problem_of(*paths: str | Path) -> str:
    with pytest.raises(UnreadableFile) as refused:
        expand(paths)
    assert "\n" not in str(refused.value)
    return refused.value.problem


def test_a_folder_gives_its_readable_files_sorted_by_name(tmp_path):
    touched(tmp_path, "visits.csv", "jobs.XLSX", "2026/parts.json", "readme.md", "photo.png")
    assert [path.name for path in expand([tmp_path])] == ["jobs.XLSX", "parts.json", "visits.csv"]


def test_hidden_and_lock_files_are_left_out(tmp_path):
    touched(tmp_path, "jobs.csv", ".jobs.csv", "~$jobs.xlsx", ".git/a.csv")
    assert expand([tmp_path]) == [tmp_path / "jobs.csv"]
    assert expand([tmp_path / "*.csv"]) == [tmp_path / "jobs.csv"]


def test_a_file_named_outright_is_taken_whatever_its_name(tmp_path):
    touched(tmp_path, ".export", "jobs[1].csv")
    assert expand([tmp_path / ".export"]) == [tmp_path / ".export"]
    assert expand([tmp_path / "jobs[1].csv"]) == [tmp_path / "jobs[1].csv"]


def test_globs_find_files_and_folders(tmp_path):
    touched(tmp_path, "a/jobs.csv", "b/jobs.csv", "b/c/visits.csv")
    assert len(expand([str(tmp_path / "*" / "jobs.csv")])) == 2
    assert len(expand([str(tmp_path / "?")])) == 3
    assert len(expand([str(tmp_path / "**" / "*.csv")])) == 3


def test_each_file_comes_once(tmp_path):
    touched(tmp_path, "jobs.csv")
    path = tmp_path / "jobs.csv"
    assert expand([path, str(path), tmp_path, tmp_path / "*.csv"]) == [path]


def test_nothing_to_expand_gives_nothing():
    assert expand([]) == []


@pytest.mark.parametrize("name", ["gone.csv", "*.csv", "a\0b.csv", "x" * 300])
def test_a_path_that_names_nothing(tmp_path, name):
    assert problem_of(tmp_path / name) == "missing_file"


def test_a_folder_without_a_readable_file(tmp_path):
    touched(tmp_path, "readme.md")
    assert problem_of(tmp_path) == "empty_folder"


@pytest.mark.skipif(sys.platform == "win32", reason="links need rights there")
def test_links_that_lead_nowhere(tmp_path):
    (tmp_path / "loop.csv").symlink_to("loop.csv")
    (tmp_path / "gone.csv").symlink_to("nothing")
    assert problem_of(tmp_path / "loop.csv") == "symlink_loop"
    assert problem_of(tmp_path / "gone.csv") == "missing_file"
    (tmp_path / "gone.csv").unlink()
    assert problem_of(tmp_path) == "symlink_loop"


@pytest.mark.skipif(sys.platform == "win32", reason="links need rights there")
def test_a_linked_folder_is_not_walked_for_ever(tmp_path):
    touched(tmp_path, "jobs.csv")
    (tmp_path / "again").symlink_to(tmp_path)
    assert expand([tmp_path]) == [tmp_path / "jobs.csv"]


def test_a_folder_where_a_file_was_wanted(tmp_path):
    with pytest.raises(UnreadableFile) as refused:
        read_tables(tmp_path)
    assert refused.value.problem == "is_a_directory"


@pytest.mark.skipif(not hasattr(os, "mkfifo"), reason="no pipes there")
def test_a_pipe_is_refused_and_not_waited_for(tmp_path):
    os.mkfifo(tmp_path / "jobs.csv")
    with pytest.raises(UnreadableFile, match="a device or pipe"):
        read_tables(tmp_path / "jobs.csv")


def outcome_as_nobody(path: Path) -> str:
    """Return the problem met when an unprivileged user reads the file or folder."""
    reader, writer = os.pipe()
    child = os.fork()
    if child == 0:
        result = "child failed"
        try:
            if os.geteuid() == 0:
                os.setuid(65534)
            expand([path]) and tables_of(path, Limits())
            result = "read"
        except UnreadableFile as refusal:
            result = refusal.problem
        finally:
            os.write(writer, result.encode())
            os._exit(0)
    os.waitpid(child, 0)
    os.close(writer)
    with os.fdopen(reader) as answer:
        return answer.read()


@pytest.mark.skipif(not hasattr(os, "fork"), reason="another user cannot be played there")
@pytest.mark.parametrize("is_folder", [False, True])
def test_what_may_not_be_read_is_named(is_folder):
    """As root the system refuses nothing, so a child process gives up its rights first."""
    import shutil
    import tempfile

    place = Path(tempfile.mkdtemp())
    try:
        place.chmod(0o755)
        path = place / ("exports" if is_folder else "jobs.csv")
        touched(place, "exports/jobs.csv" if is_folder else "jobs.csv")
        path.chmod(0)
        assert outcome_as_nobody(path) == "no_permission"
        path.chmod(0o755)
    finally:
        shutil.rmtree(place)
