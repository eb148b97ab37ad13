"""A content-security policy on every answer: no script but Streamlit's and ours runs in a page.

Text from records is escaped where it is shown; were it ever escaped wrongly, the browser would
still run none of it. Source: W3C Content Security Policy Level 3 (script-src, hash sources).
"""

import base64
import hashlib
import re
from functools import cache
from pathlib import Path

import streamlit
from starlette.datastructures import MutableHeaders
from starlette.types import ASGIApp, Message, Receive, Scope, Send

from dashboard.ui.frame import SCRIPTS

INLINE = re.compile(r"<script>(.*?)</script>", re.DOTALL)
SHELL = Path(streamlit.__file__).parent / "static" / "index.html"
HEADERS = {
    "X-Content-Type-Options": "nosniff",
    "Referrer-Policy": "same-origin",  # addresses hold job numbers
}


class ContentPolicy:
    """Sends the policy with every answer of an application."""

    def __init__(self, app: ASGIApp) -> None:
        """Wrap an application."""
        self.app = app

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Answer one request."""

        async def send_with_policy(message: Message) -> None:
            if message["type"] == "http.response.start":
                message.setdefault("headers", [])
                headers = MutableHeaders(scope=message)
                headers["Content-Security-Policy"] = policy()
                headers.update(HEADERS)
            await send(message)

        await self.app(scope, receive, send_with_policy)


@cache
def policy() -> str:
    """Return the policy. Styles are inline in Streamlit and Plotly, scripts only the known ones."""
    scripts = INLINE.findall(SHELL.read_text(encoding="utf-8") + SCRIPTS)
    known = " ".join(f"'sha256-{_digest(script)}'" for script in scripts)
    return "; ".join(
        (
            "default-src 'self'",
            f"script-src 'self' {known}",
            "style-src 'self' 'unsafe-inline'",
            "img-src 'self' data: blob:",
            "font-src 'self' data:",
            "worker-src 'self' blob:",
            "frame-src 'none'",
            "object-src 'none'",
            "base-uri 'none'",
            "form-action 'self'",
            "frame-ancestors 'none'",
        )
    )


def _digest(script: str) -> str:
    return base64.b64encode(hashlib.sha256(script.encode()).digest()).decode()
