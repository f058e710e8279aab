"""What every answer carries, so that a browser runs and shows only what is ours."""

from base64 import b64encode
from collections.abc import Iterable
from hashlib import sha256

from flask import Response, request

_KEPT = ("/assets/", "/_dash-component-suites/", "/_favicon.ico")
"""The same for everybody, and named by their version: a browser may keep them."""

FIXED = {
    "X-Content-Type-Options": "nosniff",
    "X-Frame-Options": "DENY",
    # not 'no-referrer': browsers then name no origin in the forms that our own pages send
    "Referrer-Policy": "same-origin",
    "Cross-Origin-Opener-Policy": "same-origin",
    "Cross-Origin-Resource-Policy": "same-origin",
    "Permissions-Policy": "camera=(), geolocation=(), microphone=(), payment=(), usb=()",
}
_HSTS = "max-age=31536000; includeSubDomains"


def hash_of(text: str) -> str:
    """How a policy names a script or a look that stands inside a document."""
    return f"'sha256-{b64encode(sha256(text.encode()).digest()).decode()}'"


def policy(script_hashes: Iterable[str]) -> str:
    """What a page may load and run: our own files, and the scripts of these hashes.

    No 'unsafe-inline' and no 'unsafe-eval' for scripts. Looks may stand inside: figures are placed
    by style attributes, whose values no hash can foresee.
    """
    rules = {
        "default-src": ["'none'"],
        "script-src": ["'self'", *script_hashes],
        "style-src": ["'self'", "'unsafe-inline'"],
        "img-src": ["'self'", "data:", "blob:"],
        "font-src": ["'self'"],
        "connect-src": ["'self'"],
        "base-uri": ["'none'"],
        "form-action": ["'self'"],
        "frame-ancestors": ["'none'"],
        "object-src": ["'none'"],
    }
    return "; ".join(" ".join([name, *values]) for name, values in rules.items())


def dress(response: Response, csp: str, over_tls: bool) -> Response:
    """Put them on; what is private is not kept anywhere."""
    for name, value in FIXED.items():
        response.headers[name] = value
    response.headers["Content-Security-Policy"] = csp
    if not request.path.startswith(_KEPT) or response.status_code >= 400:
        response.headers["Cache-Control"] = "no-store"
    if over_tls:
        response.headers["Strict-Transport-Security"] = _HSTS
    return response
