"""Sign-in and roles in a real browser, against an OpenID provider on this machine."""

import time
from collections.abc import Iterator
from pathlib import Path

import pytest
from axe_playwright_python.sync_playwright import Axe
from itsdangerous import TimestampSigner, URLSafeTimedSerializer
from playwright.sync_api import Browser, Page, expect

from dashboard.access.page_roles import PAGES
from tests.ask import run
from tests.browser.conftest import downloaded, settled
from tests.browser.signed_in import PEOPLE, SECRET, Shop, received, served, user_cookie
from tests.browser.test_accessibility import OURS, RULES, listed
from tests.server import openid_provider

pytestmark = pytest.mark.browser
REFUSED = "does not open this page. Ask the owner of the shop."
DAY_S = 86_400


@pytest.fixture(scope="module")
def shop(sample_shop: Path, tmp_path_factory, browser: Browser) -> Iterator[Shop]:
    folder = tmp_path_factory.mktemp("signed_in") / "db"
    with openid_provider.running() as provider:
        provider.said["old@shop.example"] = {"iat": int(time.time()) - 13 * 3600}
        provider.said["unsure@shop.example"] = {"email_verified": False}
        with served(sample_shop, folder, browser, provider) as found:
            yield found


@pytest.fixture(scope="module")
def names(sample_shop: Path) -> set[str]:
    """Every technician of the sample shop."""
    return set(run(sample_shop, "access/technicians")["technician"])


def is_asked_to_sign_in(page: Page) -> None:
    expect(page.get_by_role("button", name="Sign in")).to_be_visible(timeout=30_000)
    expect(page.get_by_test_id("stSidebar")).to_have_count(0)
    expect(page.get_by_test_id("stDataFrame")).to_have_count(0)


def test_who_has_not_signed_in_gets_no_page_and_no_row(shop: Shop, names: set[str]):
    page = shop.visitor()
    frames = received(page)
    for address in ("", "job?job=W0001", "settings", "add_records"):
        page.goto(f"{shop.url}/{address}")
        is_asked_to_sign_in(settled(page))
    assert not any(name.encode() in b"".join(frames) for name in names)


@pytest.mark.slow
@pytest.mark.parametrize("role", PEOPLE)
def test_each_role_opens_its_pages_by_address_and_no_other(shop: Shop, role: str, names: set[str]):
    page = shop.signed_in(PEOPLE[role])
    frames = received(page)
    for name, roles in PAGES.items():
        is_first = name == "month" and role in roles  # the first page has no address but “/”
        page.goto(f"{shop.url}/{'' if is_first else name}")
        expect(page.get_by_role("heading", level=1)).to_be_visible(timeout=30_000)
        settled(page)
        refusal = page.get_by_text(REFUSED)
        expect(refusal).to_have_count(0 if role in roles else 1)
        expect(page.get_by_text("Page not found")).to_have_count(0)
        expect(page.get_by_test_id("stException")).to_have_count(0)
    seen = {name for name in names if name.encode() in b"".join(frames)}
    theirs = {"owner": names, "lead": names, "pricing": set(), "technician": {"Brenwick"}}
    assert seen == theirs[role]


def test_the_pages_of_sign_in_are_for_everybody(shop: Shop):
    """axe finds no violation of WCAG 2.2 A or AA on the way in and on a refusal, phone width too."""
    visitor, refused = shop.visitor(), shop.signed_in("eve@elsewhere.example")
    pricing = shop.signed_in(PEOPLE["pricing"])
    visitor.goto(shop.url)
    is_asked_to_sign_in(visitor)
    pricing.goto(f"{shop.url}/settings")
    for page in (visitor, refused, pricing):
        page.set_viewport_size({"width": 390, "height": 800})
        found = Axe().run(settled(page), context=OURS, options=RULES).response["violations"]
        assert listed(found) == []


def test_the_menu_holds_only_what_the_role_opens(shop: Shop):
    page = shop.signed_in(PEOPLE["pricing"])
    expect(page.get_by_role("button", name="Readings", exact=True)).to_have_count(0)
    page.get_by_role("button", name="Prices and parts", exact=True).click()
    expect(page.get_by_role("menuitem", name="Flat rates", exact=True)).to_be_visible()


def test_who_is_not_listed_gets_nothing_but_whom_to_ask(shop: Shop, names: set[str]):
    page = shop.signed_in("eve@elsewhere.example")
    frames = received(page)
    for address in ("", "flat_rate", "job?job=W0001"):
        page.goto(f"{shop.url}/{address}")
        message = page.get_by_text(
            "this shop does not list that address. Ask the owner of the shop"
        )
        expect(message).to_be_visible(timeout=30_000)
        expect(page.get_by_test_id("stSidebar")).to_have_count(0)
    assert not any(name.encode() in b"".join(frames) for name in names)
    page.get_by_role("button", name="Sign out").click()
    is_asked_to_sign_in(page)


@pytest.mark.parametrize(
    ("email", "message"),
    [
        ("old@shop.example", "A sign-in holds 12 hours"),
        ("unsure@shop.example", "is not confirmed"),
    ],
)
def test_an_old_sign_in_and_an_unconfirmed_address_are_refused(
    shop: Shop, email: str, message: str
):
    page = shop.signed_in(email)
    expect(page.get_by_text(message)).to_be_visible()
    expect(page.get_by_test_id("stSidebar")).to_have_count(0)


def signed(claims: str, secret: str, age_days: float = 0) -> str:
    """Return a cookie as the dashboard would sign it, with this secret so many days ago."""

    class Then(TimestampSigner):
        def get_timestamp(self) -> int:
            return int(time.time() - age_days * DAY_S)

    serializer = URLSafeTimedSerializer(secret, salt="_streamlit_user", signer=Then)
    return serializer.dumps(claims)


def test_expired_and_forged_cookies_sign_no_one_in(shop: Shop):
    page = shop.signed_in(PEOPLE["owner"])
    cookie = user_cookie(page.context)
    claims = URLSafeTimedSerializer(SECRET, salt="_streamlit_user").loads(cookie["value"])
    head, _, tail = cookie["value"].partition(".")
    forgeries = {
        "one letter changed": f"{head}.{'A' if tail[0] != 'A' else 'B'}{tail[1:]}",
        "another secret": signed(claims, "a secret of somebody else, also long"),
        "no signature": claims,
        "signed 40 days ago": signed(claims, SECRET, age_days=40),
    }
    page.context.add_cookies([cookie | {"value": signed(claims, SECRET)}])
    page.goto(f"{shop.url}/settings")  # the way of making a cookie is the right one
    expect(page.get_by_role("heading", name="Settings", exact=True)).to_be_visible(timeout=30_000)
    for what, value in forgeries.items():
        page.context.add_cookies([cookie | {"value": value}])
        page.goto(f"{shop.url}/settings")
        settled(page)
        assert page.get_by_role("button", name="Sign in").count() == 1, what


def file_of(page: Page, address: str) -> tuple[str, bytes]:
    """Download the table of a page; return the file's address and content."""
    asked: list[str] = []
    page.on("request", lambda r: asked.append(r.url) if "/media/" in r.url else None)
    page.goto(address)
    content = downloaded(page, "Download table").read_bytes()
    return asked[-1], content


def test_a_download_goes_to_its_own_reader_only(shop: Shop):
    others = [shop.visitor(), *(shop.signed_in(PEOPLE[r]) for r in ("lead", "technician"))]
    owner = shop.signed_in(PEOPLE["owner"])
    address, content = file_of(owner, f"{shop.url}/flat_rate")
    assert b"Replace drain pump" in content
    answers = [other.request.get(address) for other in others]
    own = owner.request.get(address)  # last: the file was there all the while
    assert (own.status, own.body()) == (200, content)
    for answer in answers:
        assert answer.status == 403
        assert b"Replace drain pump" not in answer.body()


def test_each_role_downloads_what_it_sees(shop: Shop, names: set[str]):
    for role in ("pricing", "technician"):
        page = shop.signed_in(PEOPLE[role])
        _, content = file_of(page, f"{shop.url}/first_time_fix?by=technician")
        found = {name for name in names if name.encode() in content}
        assert found == ({"Brenwick"} if role == "technician" else set())
        assert (b"Technician A" in content) == (role == "pricing")


def test_an_upload_is_taken_only_from_who_may_add_records(shop: Shop):
    for page in (shop.visitor(), shop.signed_in(PEOPLE["pricing"])):
        answer = page.request.put(f"{shop.url}/_stcore/upload_file/any/file", data=b"a,b")
        assert answer.status == 403


def test_an_old_link_to_a_job_of_others_is_refused_to_a_technician(shop: Shop, sample_shop: Path):
    jobs = run(sample_shop, "pages/jobs").dropna(subset="technician")
    own = jobs.loc[jobs["technician"] == "Brenwick", "job_id"].iloc[0]
    others = next(
        job
        for job in jobs.loc[jobs["technician"] != "Brenwick", "job_id"]
        if "Brenwick"
        not in set(run(sample_shop, "pages/job_timeline_visits", job_id=job).technician)
    )
    page = shop.signed_in(PEOPLE["technician"])
    page.goto(f"{shop.url}/job?job={own}")
    expect(page.get_by_text(f"{own}, ").first).to_be_visible(timeout=30_000)
    page.goto(f"{shop.url}/job?job={others}")
    refusal = page.get_by_text("is not among those that you worked on")
    expect(refusal).to_be_visible(timeout=30_000)
    expect(page.get_by_test_id("stDataFrame")).to_have_count(0)


def test_a_name_in_an_old_link_does_not_reveal_its_alias(shop: Shop):
    page = shop.signed_in(PEOPLE["pricing"])
    frames = received(page)
    page.goto(f"{shop.url}/first_time_fix?technician=Petrossian")
    settled(page)
    expect(page.get_by_text("technician Petrossian")).to_have_count(0)
    assert b"Petrossian" not in b"".join(frames)


def test_without_sign_in_another_name_of_this_machine_opens_nothing(
    serve, sample_shop: Path, browser: Browser
):
    """A proxy, or a foreign name that leads here, would show the owner's pages to others."""
    port = serve(sample_shop).url.rpartition(":")[2]
    page = browser.new_page()
    page.goto(f"http://shop.localhost:{port}/flat_rate")
    expect(page.get_by_text("open on this machine only")).to_be_visible(timeout=30_000)
    expect(page.get_by_test_id("stDataFrame")).to_have_count(0)
    page.close()
