"""The shop's OpenID Connect provider: secrets.toml in the database folder, checked before serving.

Source: OpenID Connect Core 1.0 and Discovery 1.0; the keys are those of Streamlit's st.login.
"""

import ipaddress
import os
import tomllib
from importlib.util import find_spec
from pathlib import Path
from urllib.parse import urlsplit

from dashboard.access.page_roles import OWNER
from dashboard.errors import UserError
from dashboard.settings.file import FILE as SETTINGS_FILE
from dashboard.settings.file import read_settings
from etl.folder.regular_file import small_text

FILE = "secrets.toml"
KEYS = ("redirect_uri", "cookie_secret", "client_id", "client_secret", "server_metadata_url")
SECRET_LENGTH = 32  # characters of the cookie's secret at least
CALLBACK = "/oauth2callback"


class SignInError(UserError):
    """The sign-in is not set up as it must be; the message names the file and the key."""


def sign_in_address(folder: Path) -> str | None:
    """Return the address at which a folder's pages are read; None without a secrets.toml.

    Raises SignInError for a sign-in that would not hold, or could not be used.
    """
    path = folder / FILE
    if not os.path.lexists(path):
        return None
    auth = _auth(path)
    for key, needed in (("redirect_uri", CALLBACK), ("server_metadata_url", "")):
        if not _is_safe(auth[key]) or not auth[key].endswith(needed):
            end = f" that ends in {needed}" if needed else ""
            raise SignInError(
                f"{path}: {key} is {auth[key]!r}; wanted an address with https{end} (http only on "
                "this machine)"
            )
    if len(auth["cookie_secret"]) < SECRET_LENGTH:
        raise SignInError(
            f"{path}: cookie_secret is short; wanted {SECRET_LENGTH} random characters or more, "
            'such as python -c "import secrets; print(secrets.token_hex(32))" prints'
        )
    if find_spec("authlib") is None or find_spec("httpx") is None:
        raise SignInError("sign-in needs Authlib and httpx: install ohmhours[signin]")
    if OWNER not in read_settings(folder)["people"].values():
        raise SignInError(
            f'{folder / SETTINGS_FILE}: [people] lists no owner; add a line "you@your.shop" = '
            f'"{OWNER}"'
        )
    return auth["redirect_uri"].removesuffix(CALLBACK)


def is_loopback(host: str) -> bool:
    """Say whether an address means this machine only."""
    try:
        return host == "localhost" or ipaddress.ip_address(host).is_loopback
    except ValueError:
        return False


def _auth(path: Path) -> dict[str, str]:
    """Return the table [auth] of the file with every key that is needed."""
    try:
        content = tomllib.loads(small_text(path))
    except (OSError, ValueError, RecursionError) as error:
        # the text of the error may hold part of a secret
        raise SignInError(f"{path}: not a TOML file ({type(error).__name__}); correct it") from None
    auth = content.get("auth")
    if not isinstance(auth, dict):
        raise SignInError(f"{path}: the table [auth] is missing; the README shows it")
    for key in KEYS:
        if not isinstance(auth.get(key), str) or not auth[key]:
            raise SignInError(f"{path}: [auth] needs {key} as text in quotes; the README shows it")
    return auth


def _is_safe(address: str) -> bool:
    """Return True if no third party can read or change what goes to an address."""
    parts = urlsplit(address)
    is_here = parts.scheme == "http" and is_loopback(parts.hostname or "")
    return bool(parts.hostname) and (parts.scheme == "https" or is_here)
