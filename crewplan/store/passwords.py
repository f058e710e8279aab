"""What a password must be, and how it is kept: argon2id, never as it was typed."""

from collections.abc import Iterable
from functools import cache

from argon2 import PasswordHasher
from argon2.exceptions import InvalidHashError, VerificationError
from zxcvbn import zxcvbn

from crewplan.store.faults import NotDone

AT_LEAST = 12
AT_MOST = 256
GUESSES = 10**10
"""Fewer would be tried within four months by whoever has the hashes (assumed: 1,000 a second); it
is also where zxcvbn's own best mark begins."""
PROGRAM_WORDS = ("crewplan", "crew", "plan", "solar", "roof", "array", "module", "password")
"""Besides names of the person, role, crews and branch: words that are guessed first here."""

_HASHER = PasswordHasher()
"""RFC 9106's second recommended setting: 64 MiB, three passes, four lanes."""


def refuse_weak(password: str, near: Iterable[str] = ()) -> None:
    """Raise NotDone where a password is too short, too long, or would be guessed soon.

    No kind of letter is asked for. `near` are words that stand near the person.
    """
    if len(password) < AT_LEAST:
        raise NotDone(f"a password has at least {AT_LEAST} characters; any will do")
    if len(password) > AT_MOST:
        raise NotDone(f"a password has at most {AT_MOST} characters")
    words = [word for word in (*near, *PROGRAM_WORDS) if len(word) > 2]
    # the estimate itself is only made for the first 72 letters; longer is not weaker
    if zxcvbn(password[:72], user_inputs=words)["guesses"] < GUESSES:
        raise NotDone(
            "this password is guessed soon (a common one, a name, or a pattern); "
            "a few words that do not belong together are good"
        )


def hashed(password: str) -> str:
    """How it is kept."""
    return _HASHER.hash(password)


def matches(password: str, kept: str | None) -> bool:
    """Whether it is the one that was kept; just as slow where there is none."""
    try:
        return _HASHER.verify(kept or _nobodys(), password) and kept is not None
    except (VerificationError, InvalidHashError):
        return False


def outdated(kept: str) -> bool:
    """Whether it was kept under older settings, and should be kept anew."""
    return _HASHER.check_needs_rehash(kept)


@cache
def _nobodys() -> str:
    from secrets import token_urlsafe

    return _HASHER.hash(token_urlsafe())
