"""An OpenID Connect provider on this machine: whoever types an address is signed in as it.

Discovery, authorization code with PKCE, ID token signed with RS256, key set.
Source: OpenID Connect Core 1.0, sections 2 and 3.1; OpenID Connect Discovery 1.0; RFC 7636.
"""

import base64
import hashlib
import json
import secrets
import threading
import time
from collections.abc import Iterator
from contextlib import contextmanager
from http.server import BaseHTTPRequestHandler, ThreadingHTTPServer
from typing import Any
from urllib.parse import parse_qs, urlencode, urlsplit

from joserfc import jwt
from joserfc.jwk import RSAKey

CLIENT, CLIENT_SECRET = "the-dashboard", "known-to-both"
FORM = """<!DOCTYPE html><html lang="en"><title>Provider</title><form action="/approve">
<label>E-mail <input name="email"></label><input type="hidden" name="asked" value="{asked}">
<button>Continue</button></form></html>"""


class Provider:
    """What the provider knows: its key, the codes given out, and what it says of an address."""

    def __init__(self) -> None:
        self.key = RSAKey.generate_key(2048, {"kid": "one", "use": "sig"})
        self.asked: dict[str, dict[str, str]] = {}  # code → what the dashboard asked, and who came
        self.said: dict[str, dict[str, Any]] = {}  # address → claims other than the usual ones
        self.url = ""

    def discovery(self) -> dict[str, Any]:
        """Return the document by which the dashboard finds everything else."""
        return {
            "issuer": self.url,
            "authorization_endpoint": f"{self.url}/authorize",
            "token_endpoint": f"{self.url}/token",
            "jwks_uri": f"{self.url}/keys",
            "response_types_supported": ["code"],
            "subject_types_supported": ["public"],
            "id_token_signing_alg_values_supported": ["RS256"],
            "code_challenge_methods_supported": ["S256"],
        }

    def approve(self, asked: str, email: str) -> str:
        """Return the address to which the browser goes back with a code."""
        request = {key: values[0] for key, values in parse_qs(asked).items()}
        code = secrets.token_urlsafe(16)
        self.asked[code] = request | {"email": email}
        back = urlencode({"code": code, "state": request["state"]})
        return f"{request['redirect_uri']}?{back}"

    def token(self, form: dict[str, str]) -> dict[str, Any]:
        """Return the tokens for a code, once, to who proves to have asked for it."""
        asked = self.asked.pop(form["code"])
        digest = hashlib.sha256(form["code_verifier"].encode()).digest()
        assert base64.urlsafe_b64encode(digest).rstrip(b"=").decode() == asked["code_challenge"]
        now, email = int(time.time()), asked["email"]
        claims = {
            "iss": self.url, "aud": CLIENT, "sub": email, "iat": now, "exp": now + 3600,
            "nonce": asked["nonce"], "email": email, "email_verified": True,
        }  # fmt: skip
        claims = {k: v for k, v in (claims | self.said.get(email, {})).items() if v is not None}
        signed = jwt.encode({"alg": "RS256", "kid": "one"}, claims, self.key)
        return {"token_type": "Bearer", "access_token": "of no use", "id_token": signed}


def handler(provider: Provider) -> type[BaseHTTPRequestHandler]:
    """Return what answers requests in the provider's name."""

    class Handler(BaseHTTPRequestHandler):
        def do_GET(self) -> None:
            parts = urlsplit(self.path)
            if parts.path == "/.well-known/openid-configuration":
                self.answer(provider.discovery())
            elif parts.path == "/keys":
                self.answer({"keys": [provider.key.as_dict(private=False)]})
            elif parts.path == "/authorize":
                text = FORM.format(asked=parts.query.replace("&", "&amp;"))
                self.send("text/html; charset=utf-8", text)
            elif parts.path == "/approve":
                (asked,), (email,) = (parse_qs(parts.query)[k] for k in ("asked", "email"))
                self.send_response(302)
                self.send_header("Location", provider.approve(asked, email))
                self.end_headers()
            else:
                self.send_error(404)

        def do_POST(self) -> None:
            body = self.rfile.read(int(self.headers["Content-Length"])).decode()
            form = {key: values[0] for key, values in parse_qs(body).items()}
            basic = base64.b64encode(f"{CLIENT}:{CLIENT_SECRET}".encode()).decode()
            assert self.headers["Authorization"] == f"Basic {basic}"
            self.answer(provider.token(form))

        def answer(self, content: dict[str, Any]) -> None:
            self.send("application/json", json.dumps(content))

        def send(self, kind: str, text: str) -> None:
            self.send_response(200)
            self.send_header("Content-Type", kind)
            self.end_headers()
            self.wfile.write(text.encode())

        def log_message(self, *arguments: object) -> None:
            """Say nothing."""

    return Handler


@contextmanager
def running() -> Iterator[Provider]:
    """Run a provider on a free port of this machine."""
    provider = Provider()
    server = ThreadingHTTPServer(("127.0.0.1", 0), handler(provider))
    provider.url = f"http://127.0.0.1:{server.server_port}"
    threading.Thread(target=server.serve_forever, daemon=True).start()
    try:
        yield provider
    finally:
        server.shutdown()
        server.server_close()
