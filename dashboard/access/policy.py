"""Who reads: the roles, the pages that each opens, and who is asking just now.

Every query and every page is checked against `reader()`. The command line is the owner of the
machine; a dashboard with sign-in knows only the reader that `read_as` named for this page run.
"""

import os
from collections.abc import Callable, Mapping
from contextvars import ContextVar
from dataclasses import dataclass
from hashlib import sha256
from typing import Any

from dashboard.errors import UserError

OWNER, LEAD, PRICING, TECHNICIAN = "owner", "lead", "pricing", "technician"
SIGN_IN = "OHMHOURS_SIGN_IN"  # environment variable: set where pages are served with sign-in
SIGNED_IN_HOURS = 12  # a working day; then the provider is asked again
CLOCKS_APART_MIN = 10  # how much the provider's clock may be ahead of ours

PAGES = {
    "month": {OWNER, LEAD},
    "first_time_fix": {OWNER, LEAD, PRICING, TECHNICIAN},
    "callbacks": {OWNER, LEAD, PRICING, TECHNICIAN},
    "month_signals": {OWNER, LEAD, PRICING, TECHNICIAN},
    "repeat_visits": {OWNER, LEAD, PRICING, TECHNICIAN},
    "misdiagnosis": {OWNER, LEAD, TECHNICIAN},
    "mix_ups": {OWNER, LEAD, TECHNICIAN},
    "root_cause_mix": {OWNER, LEAD, PRICING, TECHNICIAN},
    "order_of_tests": {OWNER, LEAD, TECHNICIAN},
    "power_of_tests": {OWNER, LEAD},
    "what_to_test_next": {OWNER, LEAD, TECHNICIAN},
    "job": {OWNER, LEAD, PRICING, TECHNICIAN},
    "reading_distribution": {OWNER, LEAD, TECHNICIAN},
    "one_reading": {OWNER, LEAD, TECHNICIAN},
    "limit_review": {OWNER, LEAD},
    "meter_check": {OWNER, LEAD},
    "flat_rate": {OWNER, LEAD, PRICING},
    "one_repair": {OWNER, LEAD, PRICING},
    "van_stock": {OWNER, LEAD, PRICING},
    "records": {OWNER, LEAD},
    "add_records": {OWNER, LEAD},
    "settings": {OWNER},
}
# queries that do not carry the name of the one page that shows them; those of no page are common
SHOWN_ON = {
    "measures/month_review": "month",
    "measures/callback_curve": "callbacks",
    "measures/early_parts": "callbacks",
    "pages/month_jobs": "month",
    "pages/diagnosis_jobs": "misdiagnosis",
    "pages/diagnosis_parts": "misdiagnosis",
    "pages/limit_curve": "limit_review",
    "pages/diagnoses": "flat_rate",
    "pages/accounts": "records",
    "pages/support": "records",
    "pages/quarantine_reasons": "records",
    "pages/unknown_words": "records",
}
# what a technician may ask although it cannot be narrowed to his own jobs: it tells of nobody
OF_NOBODY = {
    "pages/labels",
    "pages/choices",
    "pages/dataset",
    "pages/chain_access",
    "pages/chain_before_closing",
    "pages/chain_matrix",
    "pages/judged_reading",
    "pages/limits",
    "pages/meters",
}
JOB_NUMBERS = {"job_id", "first_job", "second_job"}


class Refused(UserError):
    """The reader may not see this; the message says why and whom to ask."""


@dataclass(frozen=True)
class Reader:
    """Somebody who reads; no `email` at the machine itself, a `technician` in that role only."""

    role: str
    email: str = ""
    technician: str | None = None

    @property
    def sees_names(self) -> bool:
        """Say whether technicians are shown by name."""
        return self.role in (OWNER, LEAD)

    @property
    def view(self) -> tuple[str, str | None]:
        """Return all that decides what this reader sees: the key of what is kept for later."""
        return self.role, self.technician

    @property
    def mark(self) -> str:
        """Return what marks a download as this reader's; empty at the machine itself."""
        return sha256(self.email.encode()).hexdigest()[:32] if self.email else ""

    def opens(self, page: str) -> bool:
        """Say whether the role opens a page."""
        return self.role in PAGES[page]


AT_THE_MACHINE = Reader(OWNER)
_reader: ContextVar[Reader | None] = ContextVar("reader", default=None)


def reader() -> Reader:
    """Return who is asking; raise Refused where sign-in is needed and nobody has been named."""
    named = _reader.get()
    if named is None and os.environ.get(SIGN_IN):
        raise Refused("nobody is signed in")
    return named or AT_THE_MACHINE


def read_as(who: Reader | None) -> None:
    """Name who reads from here on, in this thread only."""
    _reader.set(who)


def kept(function: Callable[[], Any]) -> Callable[[], Any]:
    """Return the function such that it reads, whenever it is called, as who asks now."""
    who = reader()

    def as_then() -> Any:
        token = _reader.set(who)
        try:
            return function()
        finally:
            _reader.reset(token)

    return as_then


def reader_of(claims: Mapping[str, Any], people: Mapping[str, Any], now: float) -> Reader:
    """Return who an identity token names, by the shop's list of people.

    `claims` are those of an OpenID Connect ID token whose signature was checked; `now` in seconds
    since 1970. Raises Refused, which tells the person what to do.
    Source: OpenID Connect Core 1.0, section 2 (iat) and 5.1 (email, email_verified).
    """
    email = claims.get("email")
    if not isinstance(email, str) or not email:
        raise Refused("The sign-in tells no e-mail address. Ask the owner to allow it there.")
    issued = claims.get("iat")
    age_min = (now - issued) / 60 if isinstance(issued, int | float) else None
    if age_min is None or not -CLOCKS_APART_MIN <= age_min <= 60 * SIGNED_IN_HOURS:
        raise Refused(f"A sign-in holds {SIGNED_IN_HOURS} hours. Sign out, then sign in again.")
    if claims.get("email_verified", True) not in (True, "true"):
        raise Refused(f"The address {email} is not confirmed. Confirm it where you signed in.")
    listed = {folded(each): role for each, role in people.items()}.get(folded(email))
    if listed is None:
        raise Refused(
            f"You are signed in as {email}, and this shop does not list that address. Ask the "
            "owner of the shop to list it."
        )
    if isinstance(listed, str):
        return Reader(listed, email)
    return Reader(TECHNICIAN, email, listed[TECHNICIAN])


def folded(email: str) -> str:
    """Return an address as it is compared: case counts only where it is more than A to Z."""
    return email.lower() if email.isascii() else email


def check_page(page: str) -> None:
    """Raise Refused unless who is asking opens this page."""
    who = reader()
    if not who.opens(page):
        raise Refused(f"The role {who.role} does not open this page. Ask the owner of the shop.")


def check_query(name: str, parameters: set[str] | frozenset[str]) -> None:
    """Raise Refused unless who is asking may ask this query, which takes these parameters."""
    folder, _, stem = name.partition("/")
    page = {"measures": stem, "load_report": "records"}.get(folder)
    page = SHOWN_ON.get(name, page)
    if page is not None:
        check_page(page)
    is_own = TECHNICIAN in parameters or parameters & JOB_NUMBERS or name in OF_NOBODY
    if reader().role == TECHNICIAN and not is_own:
        raise Refused("This figure cannot be told of one technician. Ask the owner of the shop.")
