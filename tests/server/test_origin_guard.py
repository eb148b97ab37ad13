"""A websocket opens for this host and this port only; a file for its person in his role only."""

import asyncio

import pytest
from starlette.datastructures import Headers

from dashboard.access.page_roles import LEAD, OWNER, TECHNICIAN
from dashboard.access.reader import Reader
from dashboard.server import download_guard
from dashboard.server.download_guard import Guard
from dashboard.server.origin_guard import SameOrigin, is_of_this_address

HERE = "127.0.0.1:8517"
OTHERS = (
    "http://127.0.0.1:8518", "http://127.0.0.1", "https://127.0.0.1", "http://localhost:8517",
    "http://evil.invalid:8517", "null", "", "file://", "http://127.0.0.1:8517.evil.invalid",
    "http://127.0.0.1:85170", "http://[::1]:8517", "http://127.0.0.1:x", "http://127.0.0.1@evil.invalid:8517",
)  # fmt: skip


@pytest.mark.parametrize("origin", OTHERS)
def test_another_host_or_port_is_refused(origin: str):
    assert not is_of_this_address(Headers({"origin": origin, "host": HERE}))


@pytest.mark.parametrize(
    ("origin", "host"),
    [
        ("http://127.0.0.1:8517", HERE),
        ("https://shop.example", "shop.example"),
        ("http://A.b:80", "a.b"),
    ],
)
def test_this_address_passes(origin: str, host: str):
    assert is_of_this_address(Headers({"origin": origin, "host": host}))
    assert is_of_this_address(Headers({"host": host}))  # no browser sends none


def test_the_public_address_passes_behind_a_proxy(monkeypatch):
    monkeypatch.setenv("OHMHOURS_SIGN_IN", "1")
    monkeypatch.setenv("OHMHOURS_DB", "/nowhere")
    address = "https://shop.example"
    monkeypatch.setattr("dashboard.server.origin_guard.sign_in_address", lambda folder: address)
    assert is_of_this_address(Headers({"origin": address, "host": "10.0.0.2:8517"}))
    assert not is_of_this_address(Headers({"origin": f"{address}:444", "host": "10.0.0.2:8517"}))


def answers(app, scope: dict) -> list[dict]:
    """Return what an application sends for one request."""
    sent: list[dict] = []

    async def receive() -> dict:
        return {"type": "websocket.connect", "body": b""}

    async def send(message: dict) -> None:
        sent.append(message)

    asyncio.run(app(scope, receive, send))
    return sent


async def inner(scope, receive, send) -> None:
    """An application that gives a file, or opens a websocket."""
    if scope["type"] == "websocket":
        await send({"type": "websocket.accept"})
        return
    mark = Reader(OWNER, "ada@shop.example").mark
    headers = [
        (b"content-disposition", b"attachment"),
        (b"content-type", f"text/csv; reader={mark}".encode()),
    ]
    await send({"type": "http.response.start", "status": 200, "headers": headers})


def test_a_refused_websocket_is_closed_before_it_is_accepted():
    scope = {"type": "websocket", "path": "/_stcore/stream", "headers": [
        (b"host", HERE.encode()), (b"origin", b"http://127.0.0.1:9999")]}  # fmt: skip
    assert [each["type"] for each in answers(SameOrigin(inner), scope)] == ["websocket.close"]
    scope["headers"][1] = (b"origin", f"http://{HERE}".encode())
    assert [each["type"] for each in answers(SameOrigin(inner), scope)] == ["websocket.accept"]


def request(path: str) -> dict:
    return {"type": "http", "path": path, "method": "GET", "headers": [], "query_string": b""}


@pytest.mark.parametrize(
    ("who", "status"),
    [
        (Reader(OWNER, "ada@shop.example"), 200),
        (Reader(TECHNICIAN, "ada@shop.example", "Ada"), 403),
        (Reader(LEAD, "ada@shop.example"), 403),
        (Reader(OWNER, "eve@shop.example"), 403),
        (None, 403),
    ],
)
def test_a_file_opens_for_its_person_in_his_role_only(who, status: int, monkeypatch):
    monkeypatch.setattr(download_guard, "signed_in", lambda cookies: who)
    assert answers(Guard(inner), request("/media/a.csv"))[0]["status"] == status


@pytest.mark.parametrize(
    ("who", "status"),
    [(Reader(OWNER, "a@b"), 200), (Reader(LEAD, "a@b"), 403), (None, 403)],
)
@pytest.mark.parametrize("path", ["/_stcore/metrics", "/x/_stcore/metrics/"])
def test_metrics_are_the_owners(who, status: int, path: str, monkeypatch):
    monkeypatch.setattr(download_guard, "signed_in", lambda cookies: who)
    monkeypatch.setattr(download_guard, "_is_for", lambda scope, message: True)
    assert answers(Guard(inner), request(path))[0]["status"] == status
