"""The middleware of pages behind sign-in: files go only to the reader for whom they were made.

Streamlit gives a download to whoever has its address, and takes an upload from any open page. Here
every download carries the mark of its reader (widgets.offer), and is refused to all others.
"""

import json
import time
from typing import Any

from starlette.datastructures import Headers
from starlette.requests import Request
from starlette.responses import PlainTextResponse
from starlette.types import ASGIApp, Message, Receive, Scope, Send
from streamlit.auth_util import get_cookie_with_chunks
from streamlit.web.server.server_util import get_cookie_secret
from streamlit.web.server.starlette.starlette_app_utils import decode_signed_value
from streamlit.web.server.starlette.starlette_server_config import USER_COOKIE_NAME

from dashboard.access.page_roles import OWNER
from dashboard.access.reader import Reader, reader_of
from dashboard.errors import UserError
from dashboard.settings.file import database_folder, read_settings


class Guard:
    """Lets a download pass to its own reader only, and an upload from who may add records."""

    def __init__(self, app: ASGIApp) -> None:
        """Stand before an application."""
        self.app = app

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Answer one request, or refuse it."""
        if scope["type"] != "http":
            await self.app(scope, receive, send)
            return
        is_upload = "upload_file" in scope["path"] and scope["method"] != "OPTIONS"
        if is_upload and not _adds_records(scope):
            await _refusal(scope, receive, send)
            return
        if "_stcore/metrics" in scope["path"] and not _is_owner(scope):
            await _refusal(scope, receive, send)
            return
        is_refused = False

        async def send_to_its_reader(message: Message) -> None:
            nonlocal is_refused
            if message["type"] == "http.response.start" and not _is_for(scope, message):
                is_refused = True
                await _refusal(scope, receive, send)
            if not is_refused:
                await send(message)

        await self.app(scope, receive, send_to_its_reader)


_refusal = PlainTextResponse("This file is not yours, or you are not signed in.", status_code=403)


def _adds_records(scope: Scope) -> bool:
    who = signed_in(Request(scope).cookies)
    return who is not None and who.opens("add_records")


def _is_owner(scope: Scope) -> bool:
    who = signed_in(Request(scope).cookies)
    return who is not None and who.role == OWNER


def _is_for(scope: Scope, answer: Message) -> bool:
    """Say whether an answer is no download, or one made for the reader who asks."""
    headers = Headers(raw=answer["headers"])
    if "content-disposition" not in headers:
        return True
    who = signed_in(Request(scope).cookies)
    return who is not None and f"reader={who.mark}" in headers.get("content-type", "")


def signed_in(cookies: dict[str, str]) -> Reader | None:
    """Return who a browser's cookies name; None when forged, too old, or not of this shop."""

    def part(name: str) -> bytes | None:
        signed = cookies.get(name, "").encode("latin-1", "replace")
        return decode_signed_value(get_cookie_secret(), name, signed)

    try:
        claims: Any = json.loads(get_cookie_with_chunks(part, USER_COOKIE_NAME) or b"{}")
        people = read_settings(database_folder())["people"]
        return reader_of(claims, people, time.time())
    except (UserError, ValueError):
        return None
