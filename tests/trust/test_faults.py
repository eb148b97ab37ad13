"""Each fault once, in brief: python -m tests.trust.faults does them in full."""

import sys
from pathlib import Path

import pytest

from tests.repo import docs
from tests.trust.fault_disk import CannotTry
from tests.trust.faults import FAULTS, HEAD, Fault


@pytest.mark.slow
@pytest.mark.skipif(sys.platform == "win32", reason="processes cannot be forked there")
@pytest.mark.parametrize("fault", FAULTS, ids=lambda fault: fault.name)
def test_after_a_fault_the_last_good_version_is_shown_and_the_next_load_works(
    fault: Fault, tmp_path: Path
):
    try:
        fault.do(tmp_path / "shop", fault.in_brief)
    except CannotTry as reason:
        pytest.skip(str(reason))


def test_the_documents_show_the_table_of_the_script():
    assert "\n".join([HEAD, *(fault.row() for fault in FAULTS)]) in docs.text("faults")
