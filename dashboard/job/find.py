"""Which job a typed number means, where two numberings of a shop may use the same number."""

from dashboard.database.query import run
from dashboard.database.snapshot import Snapshot
from dashboard.database.version import NoData


def find_job(snapshot: Snapshot, number: str) -> str:
    """Return the id under which the job of a number is shown; the number where there is none.

    Raises NoData where two jobs have the number and one of them must be named.
    """
    found = list(run(snapshot, "pages/jobs_of_number", number=number, technician=None)["job_id"])
    if number in found or not found:
        return number
    if len(found) > 1:
        raise NoData(
            f"{number!r} is the number of {len(found)} jobs: {', '.join(found)}; name one of them"
        )
    return str(found[0])
