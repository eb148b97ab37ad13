"""Every answer carries the policy; the only inline scripts that it allows are those that we know."""

import base64
import hashlib
import re
import tomllib
from pathlib import Path

import pytest
from starlette.datastructures import Headers

from dashboard import app_local, app_signed_in
from dashboard.server.content_policy import SHELL, ContentPolicy, policy
from dashboard.ui import frame
from tests.server.test_origin_guard import answers, request


async def inner(scope, receive, send) -> None:
    await send({"type": "http.response.start", "status": 404, "headers": [(b"x", b"y")]})


async def without_headers(scope, receive, send) -> None:
    await send({"type": "http.response.start", "status": 200})


@pytest.mark.parametrize("app", [inner, without_headers])
def test_every_answer_carries_the_policy(app):
    (answer,) = answers(ContentPolicy(app), request("/anything"))
    headers = Headers(raw=answer["headers"])
    assert headers["content-security-policy"] == policy()
    assert headers["x-content-type-options"] == "nosniff"
    assert headers["referrer-policy"] == "same-origin"


def test_scripts_are_allowed_by_hash_only():
    (scripts,) = re.findall(r"script-src ([^;]*)", policy())
    assert "unsafe" not in scripts
    texts = re.findall(r"(?s)<script>(.*?)</script>", SHELL.read_text() + frame.SCRIPTS)
    own = [base64.b64encode(hashlib.sha256(t.encode()).digest()).decode() for t in texts]
    assert scripts.split() == ["'self'", *(f"'sha256-{each}'" for each in own)]
    assert len(own) == 3


def test_both_servers_send_it_first():
    """First in the list is outermost: an answer of the other guards carries it too."""
    for served in (app_local, app_signed_in):
        assert served.GUARDS[0].cls is ContentPolicy


def test_pages_answer_no_program():
    """Streamlit's own interface for programs knows no guard of ours; it stays off."""
    config = Path(frame.__file__).parents[1] / ".streamlit" / "config.toml"
    assert tomllib.loads(config.read_text())["server"]["enableAgentApi"] is False


@pytest.mark.parametrize("name", ["month/month", "sheet/sheet", "diagnosis/bench_card"])
def test_what_is_printed_carries_a_policy_of_its_own(name: str):
    text = (Path(frame.__file__).parents[1] / f"{name}.html.jinja").read_text(encoding="utf-8")
    head = text.split("</head>")[0]
    assert "content=\"default-src 'none'; style-src 'unsafe-inline'\"" in head
    assert head.index("Content-Security-Policy") < head.index("<style")


def test_a_websocket_passes():
    async def opens(scope, receive, send) -> None:
        await send({"type": "websocket.accept"})

    scope = {"type": "websocket", "path": "/", "headers": []}
    assert answers(ContentPolicy(opens), scope) == [{"type": "websocket.accept"}]
