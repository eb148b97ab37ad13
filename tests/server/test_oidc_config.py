"""The sign-in's file is checked before anything is served; without it only this machine is."""

from pathlib import Path

import pytest

from dashboard.cli import main as cli
from dashboard.server import oidc_config as openid
from dashboard.server.oidc_config import SignInError, sign_in_address

GOOD = {
    "redirect_uri": "https://repairs.shop.example/oauth2callback",
    "cookie_secret": "0123456789abcdef0123456789abcdef",
    "client_id": "dashboard",
    "client_secret": "known to both",
    "server_metadata_url": "https://id.example/.well-known/openid-configuration",
}


def written(folder: Path, auth: dict, people: str = '"ada@shop.example" = "owner"') -> Path:
    """Write a sign-in and a list of people into a database folder."""
    lines = "\n".join(f'{key} = "{value}"' for key, value in auth.items())
    (folder / "secrets.toml").write_text(f"[auth]\n{lines}\n", encoding="utf-8")
    (folder / "ohmhours.toml").write_text(f"[people]\n{people}\n", encoding="utf-8")
    return folder


def test_without_the_file_no_one_has_to_sign_in(tmp_path: Path):
    assert sign_in_address(tmp_path) is None


def test_pages_are_read_under_the_name_of_the_redirect(tmp_path: Path):
    assert sign_in_address(written(tmp_path, GOOD)) == "https://repairs.shop.example"


def test_on_this_machine_http_will_do(tmp_path: Path):
    here = {"redirect_uri": "http://127.0.0.1:8517/oauth2callback"}
    assert sign_in_address(written(tmp_path, GOOD | here)) == "http://127.0.0.1:8517"


@pytest.mark.parametrize(
    ("change", "message"),
    [
        ({"redirect_uri": "http://repairs.shop.example/oauth2callback"}, "redirect_uri"),
        ({"redirect_uri": "https://repairs.shop.example/"}, "redirect_uri"),
        ({"redirect_uri": "https:///oauth2callback"}, "redirect_uri"),
        ({"server_metadata_url": "http://id.example/"}, "server_metadata_url"),
        ({"server_metadata_url": "file:///etc/passwd"}, "server_metadata_url"),
        ({"cookie_secret": "short"}, "cookie_secret"),
        ({"client_id": ""}, "client_id"),
        ({"client_secret": ""}, "client_secret"),
    ],
)
def test_a_sign_in_that_would_not_hold_is_refused_by_its_key(change, message, tmp_path: Path):
    with pytest.raises(SignInError, match=message) as problem:
        sign_in_address(written(tmp_path, GOOD | change))
    assert GOOD["client_secret"] not in str(problem.value)
    assert GOOD["cookie_secret"] not in str(problem.value)


@pytest.mark.parametrize("key", openid.KEYS)
def test_every_key_is_needed(key: str, tmp_path: Path):
    with pytest.raises(SignInError, match=key):
        sign_in_address(written(tmp_path, {k: v for k, v in GOOD.items() if k != key}))


def test_a_damaged_file_does_not_show_its_secrets(tmp_path: Path):
    (tmp_path / "secrets.toml").write_text('[auth]\nclient_secret = "known to both\n')
    with pytest.raises(SignInError, match="not a TOML file") as problem:
        sign_in_address(tmp_path)
    assert "known" not in str(problem.value)


def test_somebody_must_be_the_owner(tmp_path: Path):
    with pytest.raises(SignInError, match="lists no owner"):
        sign_in_address(written(tmp_path, GOOD, people='"lea@shop.example" = "lead"'))


def test_sign_in_needs_its_libraries(tmp_path: Path, monkeypatch):
    monkeypatch.setattr(openid, "find_spec", lambda name: None)
    with pytest.raises(SignInError, match=r"ohmhours\[signin\]"):
        sign_in_address(written(tmp_path, GOOD))


@pytest.mark.parametrize("host", ["0.0.0.0", "192.168.1.20", "shop.local", "::"])
def test_another_host_is_refused_until_sign_in_is_set_up(host: str, tmp_path: Path, capsys):
    assert cli.main(["dashboard", "--db", str(tmp_path), "--host", host, "--no-browser"]) == 1
    assert "no sign-in is configured" in capsys.readouterr().err


def test_a_wrong_sign_in_stops_the_command_on_this_machine_too(tmp_path: Path, capsys):
    written(tmp_path, GOOD | {"cookie_secret": "short"})
    assert cli.main(["dashboard", "--db", str(tmp_path), "--no-browser"]) == 1
    assert "cookie_secret" in capsys.readouterr().err
