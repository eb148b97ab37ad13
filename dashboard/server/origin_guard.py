"""Websockets are opened for pages of this very address only: the same host and the same port.

A page of another program on this machine has the same host and another port; it must not drive the
dashboard in its reader's name. Source: RFC 6454, section 4 (origin), RFC 6455, section 10.2.
"""

import os
from pathlib import Path
from urllib.parse import urlsplit

from starlette.datastructures import Headers
from starlette.types import ASGIApp, Receive, Scope, Send

from dashboard.access.reader import SIGN_IN
from dashboard.server.oidc_config import SignInError, sign_in_address
from dashboard.settings.file import DATABASE

POLICY_VIOLATION = 1008  # RFC 6455, section 7.4.1
USUAL_PORTS = {"http": 80, "https": 443, "ws": 80, "wss": 443}


class SameOrigin:
    """Refuses a websocket whose Origin is another host or another port."""

    def __init__(self, app: ASGIApp) -> None:
        """Wrap an application."""
        self.app = app

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Pass a connection on, or close it before it is accepted."""
        if scope["type"] == "websocket" and not is_of_this_address(Headers(scope=scope)):
            await receive()
            await send({"type": "websocket.close", "code": POLICY_VIOLATION})
            return
        await self.app(scope, receive, send)


def is_of_this_address(headers: Headers) -> bool:
    """Return True if the Origin is the address that was asked, or there is none (no browser)."""
    origin = headers.get("origin")
    if origin is None:
        return True
    asked = _host_and_port(origin)
    scheme = urlsplit(origin).scheme
    own = {_host_and_port(f"{scheme}://{headers.get('host', '')}"), _public_address()}
    return asked is not None and asked in own


def _host_and_port(address: str) -> tuple[str, int] | None:
    """Return host and port of an address, the scheme's usual port where none is written."""
    try:
        parts = urlsplit(address)
        port = parts.port or USUAL_PORTS.get(parts.scheme)
    except ValueError:
        return None
    return (parts.hostname.lower(), port) if parts.hostname and port else None


def _public_address() -> tuple[str, int] | None:
    """Return the address that readers who sign in use; None where none is needed."""
    if not os.environ.get(SIGN_IN):
        return None
    try:
        return _host_and_port(sign_in_address(Path(os.environ[DATABASE])) or "")
    except SignInError:
        return None
