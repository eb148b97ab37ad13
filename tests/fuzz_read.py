"""Feeds damaged files to the reader: it must read them or refuse them, never fail otherwise.

python -m tests.fuzz_read [inputs] [seed]: prints the count of each outcome, and every fault with
the seed that repeats it. Exit code 1 when there was a fault.
"""

import sys
import tempfile
import time
from collections import Counter
from contextlib import suppress
from pathlib import Path
from random import Random

from etl.read import Limits, UnreadableFile, read_tables
from tests.bad_files.make import parquet, workbook

LIMITS = Limits(max_file_bytes=5_000_000, max_sheet_cells=200_000, max_unzipped_bytes=50_000_000)
SUFFIXES = (".csv", ".txt", ".json", ".jsonl", ".parquet", ".xlsx", ".xls", ".ods", "")
TELLING = (
    b'"', b'""', b",", b";", b"\t", b"|", b"\n", b"\r", b"\r\n", b"\0", b"\xff\xfe", b"\xef\xbb\xbf",
    b"{", b"[", b"]", b"}", b":", b"PK\x03\x04", b"PAR1", b"\xed\xa0\x80", b"\\ud800", b"1e999", b"sep=;",
    b"\xff\xff\xff\x7f", b"<", b"\xce\xa9", b"\x81",
)  # fmt: skip


def limit_memory() -> None:
    """Let this process die, not the machine, of an input that makes the reader ask for it all."""
    with suppress(ImportError):
        import resource

        resource.setrlimit(resource.RLIMIT_AS, (4 << 30, 4 << 30))


def seeds() -> list[bytes]:
    """Return sound files of every format, and every bad one."""
    here = Path(__file__).parent
    text = 'Ticket,Opened,Notes\r\n1,2026-03-02,"no heat, 9.4 Ω"\r\n2,2026-03-03,"two\nlines"\r\n'
    sound = [
        text.encode(),
        text.replace(",", ";").encode("utf-16"),
        text.encode("cp1252", "replace"),
        b'[{"a": 1, "b": {"c": [1, null, "x"]}}, {"a": true}]',
        b'{"a": 1.50}\n{"a": "\\u03a9"}\n',
        workbook({"A1": "a", "B1": "b", "A2": 46085, "B2": "x"}),
        parquet(),
        (here / "etl" / "read" / "files" / "old_workbook.xls").read_bytes(),
    ]
    bad = [path.read_bytes() for path in sorted((here / "bad_files").glob("*.*"))]
    return sound + [content for content in bad if len(content) < 20_000]


def damaged(content: bytes, random: Random) -> bytes:
    """Return the content after one to eight random changes."""
    data = bytearray(content)
    for _ in range(random.randint(1, 8)):
        at = random.randrange(len(data) + 1)
        match random.randrange(6):
            case 0:
                data[at:at] = random.choice(TELLING)
            case 1:
                data[at : at + 1] = random.randbytes(1)
            case 2:
                del data[at : at + random.randint(1, 40)]
            case 3:
                data[at : at + 4] = random.choice(TELLING)
            case 4:
                data = data[:at] if random.random() < 0.3 else data
            case 5:
                piece = data[at : at + random.randint(1, 60)]
                data[at:at] = piece * random.randint(1, 5)
    return bytes(data)


def made(number: int, pool: list[bytes]) -> tuple[str, bytes]:
    """Return name and content of the input of that number: the same each time."""
    random = Random(number)
    if random.random() < 0.15:
        content = random.randbytes(random.randrange(400))
    elif random.random() < 0.1:
        content = b"".join(random.choices(TELLING, k=random.randrange(60)))
    else:
        content = damaged(random.choice(pool), random)
    return f"input{random.choice(SUFFIXES)}", content


def outcome(folder: Path, name: str, content: bytes) -> str:
    """Return what became of an input: "read", the code of its problem, or "FAULT …"."""
    path = folder / name
    path.write_bytes(content)
    try:
        for table in read_tables(path, LIMITS):
            rows = table.table.num_rows
            assert len(table.row_numbers) == rows
            assert len(table.header) == table.table.num_columns == len(set(table.header))
            table.table.validate(full=True)
            numbers = [*table.row_numbers.to_pylist(), *(bad.row_number for bad in table.bad_rows)]
            assert len(numbers) == len(set(numbers))
            "".join(bad.text for bad in table.bad_rows).encode()
        return "read"
    except UnreadableFile as refusal:
        assert "\n" not in str(refusal)
        return refusal.problem
    except BaseException as fault:
        if isinstance(fault, KeyboardInterrupt):
            raise
        return f"FAULT {type(fault).__name__}: {str(fault)[:200]}"
    finally:
        path.unlink()


def main() -> int:
    """Run the inputs and print every fault, the count of each outcome and the slowest input."""
    count = int(sys.argv[1]) if len(sys.argv) > 1 else 20_000
    first = int(sys.argv[2]) if len(sys.argv) > 2 else 0
    limit_memory()
    pool, outcomes, slowest = seeds(), Counter(), (0.0, 0)
    with tempfile.TemporaryDirectory() as folder:
        for number in range(first, first + count):
            started = time.perf_counter()
            result = outcome(Path(folder), *made(number, pool))
            slowest = max(slowest, (time.perf_counter() - started, number))
            if result.startswith("FAULT"):
                print(f"input {number}: {result}")
                result = "FAULT"
            outcomes[result] += 1
    for result, times in outcomes.most_common():
        print(f"{times:8,} {result}")
    print(f"slowest: input {slowest[1]}, {slowest[0]:.2f} s")
    return int("FAULT" in outcomes)


if __name__ == "__main__":
    sys.exit(main())
