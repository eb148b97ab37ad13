"""Write .ci/requirements-locked.txt: each package that runs, with its hash.

pip takes no hashes in constraints.txt for an editable install ("there is no single file to hash"),
hence a file of its own. Reads the report that `pip install --dry-run --report` wrote.
"""

import json
import sys
from pathlib import Path

HEAD = """\
# What runs, the hash of each wheel: Python {python_version}, {sys_platform} {platform_machine}.
# make lock writes this from constraints.txt; make locked installs it.
"""


def main(report: str) -> None:
    """Write the file from a report."""
    content = json.loads(Path(report).read_text(encoding="utf-8"))
    lines = [
        f"{each['metadata']['name']}=={each['metadata']['version']} "
        f"--hash=sha256:{each['download_info']['archive_info']['hashes']['sha256']}"
        for each in content["install"]
        if not each["is_direct"]  # ourselves
    ]
    target = Path(__file__).with_name("requirements-locked.txt")
    text = HEAD.format(**content["environment"]) + "\n".join(sorted(lines, key=str.casefold)) + "\n"
    target.write_text(text, encoding="utf-8")


if __name__ == "__main__":
    main(sys.argv[1])
