"""Replayed requests and cookies set before a sign-in never open another reader's pages."""

from collections.abc import Iterator
from pathlib import Path

import pytest
from playwright.sync_api import Browser, expect
from streamlit.proto.ForwardMsg_pb2 import ForwardMsg
from websockets.exceptions import WebSocketException
from websockets.sync.client import connect

from tests.ask import run
from tests.browser.conftest import settled
from tests.browser.signed_in import PEOPLE, Shop, received, served
from tests.server import openid_provider

pytestmark = pytest.mark.browser
SECONDS = 6  # how long the answers to a replay are listened to


@pytest.fixture(scope="module")
def shop(sample_shop: Path, tmp_path_factory, browser: Browser) -> Iterator[Shop]:
    folder = tmp_path_factory.mktemp("replayed") / "db"
    with (
        openid_provider.running() as provider,
        served(sample_shop, folder, browser, provider) as found,
    ):
        yield found


@pytest.fixture(scope="module")
def names(sample_shop: Path) -> set[bytes]:
    return {name.encode() for name in run(sample_shop, "access/technicians")["technician"]}


def replayed(shop: Shop, sent: list[bytes], session: str, cookies: dict[str, str]) -> bytes:
    """Send frames again on a connection of another browser; return all that comes back."""
    address = f"{shop.url.replace('http', 'ws')}/_stcore/stream"
    cookie = "; ".join(f"{name}={value}" for name, value in cookies.items())
    xsrf = cookies.get("_streamlit_xsrf", "none")
    answers = []
    try:
        with connect(
            address,
            origin=shop.url,
            subprotocols=["streamlit", xsrf, session],
            additional_headers={"Cookie": cookie} if cookie else {},
            max_size=None,
        ) as socket:
            for frame in sent:
                socket.send(frame)
            while True:
                answers.append(socket.recv(timeout=SECONDS))
    except (TimeoutError, WebSocketException):
        return b"".join(each for each in answers if isinstance(each, bytes))


def test_messages_of_the_owner_sent_again_by_others_give_none_of_his_rows(shop: Shop, names):
    owner = shop.signed_in(PEOPLE["owner"])
    frames, sent = received(owner), []
    owner.on("websocket", lambda ws: ws.on("framesent", lambda data: sent.append(data)))
    owner.goto(f"{shop.url}/first_time_fix?by=technician")
    expect(owner.get_by_role("heading", level=1)).to_be_visible(timeout=30_000)
    settled(owner)
    asked = [each if isinstance(each, bytes) else each.encode() for each in sent]
    messages = [ForwardMsg.FromString(frame) for frame in frames]
    (session, *_) = [
        each.new_session.initialize.session_id for each in messages if each.HasField("new_session")
    ]
    assert asked and session
    own = {each["name"]: each["value"] for each in owner.context.cookies()}
    technician = shop.signed_in(PEOPLE["technician"])
    theirs = {each["name"]: each["value"] for each in technician.context.cookies()}
    for is_open in (True, False):  # while his page is open, and after
        for cookies, may_see in (({}, set()), (theirs, {b"Brenwick"})):
            message = replayed(shop, asked, session, cookies)
            assert {name for name in names if name in message} <= may_see
        if is_open:
            owner.goto("about:blank")
    message = replayed(shop, asked, session, own)  # the way of sending them again is the right one
    assert any(name in message for name in names)


def test_cookies_set_before_a_sign_in_sign_no_one_else_in(shop: Shop):
    thief, victim = shop.visitor(), shop.visitor()
    thief.goto(shop.url)
    settled(thief)
    victim.context.add_cookies(thief.context.cookies())
    victim.goto(shop.url)
    victim.get_by_role("button", name="Sign in").click(timeout=30_000)
    victim.get_by_label("E-mail").fill(PEOPLE["owner"])
    victim.get_by_role("button", name="Continue").click()
    expect(victim.get_by_role("button", name="Sign out")).to_be_visible(timeout=30_000)
    thief.goto(shop.url)
    expect(thief.get_by_role("button", name="Sign in")).to_be_visible(timeout=30_000)
    thief.reload()
    expect(thief.get_by_role("button", name="Sign in")).to_be_visible(timeout=30_000)
