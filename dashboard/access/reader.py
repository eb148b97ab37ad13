"""Who reads: the person at this machine, or whom a sign-in names, in this thread."""

import os
from collections.abc import Callable, Mapping
from contextvars import ContextVar
from dataclasses import dataclass
from hashlib import sha256
from typing import Any

from dashboard.access.page_roles import LEAD, OWNER, PAGES, TECHNICIAN
from dashboard.errors import UserError

SIGN_IN = "OHMHOURS_SIGN_IN"  # environment variable: set where pages are served with sign-in
SIGNED_IN_HOURS = 12  # a working day; then the provider is asked again
CLOCKS_APART_MIN = 10  # how much the provider's clock may be ahead of ours


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
        """Return what marks a download as this person's in this role; empty at the machine."""
        identity = "\0".join((self.email, self.role, self.technician or ""))
        return sha256(identity.encode()).hexdigest()[:32] if self.email else ""

    def opens(self, page: str) -> bool:
        """Say whether the role opens a page."""
        return self.role in PAGES[page]


AT_THE_MACHINE = Reader(OWNER)
_reader: ContextVar[Reader | None] = ContextVar("reader", default=None)


def reader() -> Reader:
    """Return who is asking; raise Refused where sign-in is needed and missing."""
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
    since 1970. Raises Refused with what to do.
    Source: OpenID Connect Core 1.0, section 2 (iat) and 5.1 (email, email_verified).
    """
    email = claims.get("email")
    if not isinstance(email, str) or not email:
        raise Refused("The sign-in gives no e-mail address. Ask the owner to allow it there.")
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
