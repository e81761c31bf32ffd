"""What every request must pass before a route sees it, and what every answer carries.

The server speaks to the person at this machine (or to the hosts named when it was started). A page on another site
must not reach it through that person's browser: a wrong Host is refused (names rebound to this address), and so is
everything that a browser marks as coming from another site.
"""

from __future__ import annotations

import json
from collections.abc import Awaitable, Callable, MutableMapping
from typing import Any
from urllib.parse import urlsplit

Scope = MutableMapping[str, Any]
Message = MutableMapping[str, Any]
Receive = Callable[[], Awaitable[Message]]
Send = Callable[[Message], Awaitable[None]]
App = Callable[[Scope, Receive, Send], Awaitable[None]]

LOOPBACK = ("127.0.0.1", "localhost", "::1")
SAFE_METHODS = ("GET", "HEAD", "OPTIONS")
LONGEST_BODY_BYTES = 1_000_000
TOO_LONG = "The request is longer than this server takes."


def host_name(header: str) -> str | None:
    """The name in a Host header, lower case, without its port; None where it is not one.

    >>> host_name("LocalHost:8000"), host_name("[::1]:80"), host_name("a b")
    ('localhost', '::1', None)
    """
    if not header or any(c in header for c in " \t/\\@?#,"):
        return None
    try:
        parts = urlsplit(f"//{header}")
        _ = parts.port  # raises where the port is not a number
    except ValueError:
        return None
    return parts.hostname


class Guard:
    """ASGI middleware: Host, Origin and size checks before, security headers after."""

    def __init__(self, app: App, *, hosts: tuple[str, ...], policy: str) -> None:
        self.app = app
        self.hosts = frozenset(h.lower() for h in (*LOOPBACK, *hosts))
        self.policy = policy

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Refuse with 400, 403 or 413, or pass on."""
        if scope["type"] == "lifespan":
            await self.app(scope, receive, send)
            return
        if scope["type"] != "http":
            return  # no web sockets are served
        headers = [(k.decode("latin-1").lower(), v.decode("latin-1")) for k, v in scope["headers"]]

        async def guarded(message: Message) -> None:
            if message["type"] == "http.response.start":
                message["headers"] = [*message.get("headers", []), *self._headers()]
            await send(message)

        refusal = self._refusal(scope, headers)
        if refusal is None and scope["method"] not in SAFE_METHODS:
            body = await _whole_body(receive)
            if body is None:
                refusal = 413, TOO_LONG
            else:
                receive = _again(body, receive)
        if refusal:
            await _refuse(guarded, *refusal, data=scope["path"].startswith("/api/"))
            return
        await self.app(scope, receive, guarded)

    def _refusal(self, scope: Scope, headers: list[tuple[str, str]]) -> tuple[int, str] | None:
        hosts = [v for k, v in headers if k == "host"]
        if len(hosts) != 1 or host_name(hosts[0]) not in self.hosts:
            return 400, "This server answers to its own name only; open it at the address it printed when it started."
        sites = {v for k, v in headers if k == "sec-fetch-site"}
        unsafe = scope["method"] not in SAFE_METHODS
        api = scope["path"].startswith("/api/")
        if sites - {"same-origin", "none"} and (unsafe or api):
            return 403, "Requests from another site are refused."
        origins = [v for k, v in headers if k == "origin"]
        if origins and origins != [f"{scope['scheme']}://{hosts[0]}"] and (unsafe or api):
            return 403, "Requests from another origin are refused."
        if unsafe and not origins:
            return 403, "A change must come from a page of this server."
        length = next((v for k, v in headers if k == "content-length"), "0")
        if not length.isascii() or not length.isdigit() or int(length) > LONGEST_BODY_BYTES:
            return 413, TOO_LONG
        return None

    def _headers(self) -> list[tuple[bytes, bytes]]:
        return [
            (b"content-security-policy", self.policy.encode()),
            (b"x-content-type-options", b"nosniff"),
            (b"x-frame-options", b"DENY"),
            (b"referrer-policy", b"no-referrer"),
            (b"cross-origin-opener-policy", b"same-origin"),
            (b"cross-origin-resource-policy", b"same-origin"),
            (b"permissions-policy", b"camera=(), microphone=(), geolocation=(), usb=(), payment=()"),
        ]


async def _whole_body(receive: Receive) -> bytes | None:
    """The body of a request, whatever its headers say of its length; None where it is longer than the server takes."""
    parts: list[bytes] = []
    length = 0
    while True:
        message = await receive()
        if message["type"] != "http.request":
            return b"".join(parts)  # the asker has gone
        parts.append(message.get("body", b""))
        length += len(parts[-1])
        if length > LONGEST_BODY_BYTES:
            return None
        if not message.get("more_body", False):
            return b"".join(parts)


def _again(body: bytes, receive: Receive) -> Receive:
    """A way to receive a body once more."""
    given = False

    async def once() -> Message:
        nonlocal given
        if given:
            return await receive()
        given = True
        return {"type": "http.request", "body": body, "more_body": False}

    return once


async def _refuse(send: Send, status: int, words: str, *, data: bool) -> None:
    """A refusal in words; for the data interface in the shape of all its refusals."""
    body = (words + "\n").encode()
    kind = b"text/plain; charset=utf-8"
    if data:
        body = json.dumps({"rigbook": 1, "says": words, "errors": [], "present": None}).encode()
        kind = b"application/json"
    headers = [(b"content-type", kind), (b"content-length", str(len(body)).encode())]
    await send({"type": "http.response.start", "status": status, "headers": headers})
    await send({"type": "http.response.body", "body": body})


def content_policy(*, import_map_hash: str) -> str:
    """Content security policy: everything from this server, nothing inline but the import map, known by its hash."""
    return "; ".join(
        (
            "default-src 'none'",
            f"script-src 'self' 'sha256-{import_map_hash}'",
            "style-src 'self'",
            "img-src 'self'",
            "font-src 'self'",
            "connect-src 'self'",
            "form-action 'self'",
            "base-uri 'none'",
            "frame-ancestors 'none'",
        )
    )
