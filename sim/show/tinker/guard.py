"""Who may speak to the page's server: this machine's own browser, on this page, in few words.

A page from elsewhere can make a browser send requests here; it cannot change the headers Host,
Origin and Sec-Fetch-Site that the browser puts on them (Fetch standard, forbidden header names,
from memory). A name that is made to point at this machine arrives with its own Host.
"""

from urllib.parse import urlsplit

from starlette.datastructures import Headers, MutableHeaders
from starlette.responses import PlainTextResponse, Response
from starlette.types import ASGIApp, Message, Receive, Scope, Send

HOSTS = ("127.0.0.1", "localhost")
LARGEST_BODY = 16 * 1024
"""Most bytes of a message; a state with every key and change is a tenth of it."""
POLICY = (
    "default-src 'none'; script-src 'self'; style-src 'self'; connect-src 'self'; img-src data:;"
    " base-uri 'none'; form-action 'none'; frame-ancestors 'none'"
)
HEADERS = {
    "Content-Security-Policy": POLICY,
    "X-Content-Type-Options": "nosniff",
    "Referrer-Policy": "no-referrer",
    "Cross-Origin-Resource-Policy": "same-origin",
    "Cache-Control": "no-store",
}


class Guard:
    """Turns away what does not come from this page, and puts the page's policy on every answer."""

    def __init__(self, app: ASGIApp, port: int) -> None:
        self.app = app
        self.hosts = {f"{host}:{port}" for host in HOSTS}

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """As of any ASGI application."""
        if scope["type"] == "lifespan":
            await self.app(scope, receive, send)
            return

        async def send_on(message: Message) -> None:
            if message["type"] == "http.response.start":
                MutableHeaders(scope=message).update(HEADERS)
            await send(message)

        refusal = None if scope["type"] == "http" else _refused(403, "only plain requests")
        refusal = refusal or self._refusal(scope)
        if refusal is not None:
            await refusal(scope, receive, send_on)
            return
        await self.app(scope, receive, send_on)

    def _refusal(self, scope: Scope) -> Response | None:
        headers = Headers(scope=scope)
        if headers.getlist("host") not in [[host] for host in self.hosts]:
            return _refused(403, "this page answers to its own address alone")
        own = all(self._own(origin) for origin in headers.getlist("origin"))
        if not own or headers.get("sec-fetch-site", "none") not in ("same-origin", "none"):
            return _refused(403, "this page answers to no other page")
        return _body_refusal(headers) if scope["method"] == "POST" else None

    def _own(self, origin: str) -> bool:
        parts = urlsplit(origin)
        return parts.scheme == "http" and parts.netloc in self.hosts


def _body_refusal(headers: Headers) -> Response | None:
    if headers.get("content-type", "").partition(";")[0].strip() != "application/json":
        return _refused(415, "messages are JSON")
    length = headers.get("content-length", "")
    if not (length.isascii() and length.isdigit()):
        return _refused(411, "a message tells its length")
    if len(length) > 9 or int(length) > LARGEST_BODY:
        return _refused(413, "a message is never that long")
    return None


def _refused(status: int, words: str) -> Response:
    return PlainTextResponse(words, status)
