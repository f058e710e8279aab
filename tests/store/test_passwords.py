"""What a password must be: long, not easily guessed, of any letters, and kept as argon2id."""

import pytest

from crewplan.store.faults import NotDone
from crewplan.store.passwords import hashed, matches, outdated, refuse_weak


@pytest.mark.parametrize(
    ("password", "why"),
    [
        ("short words", "at least 12"),
        ("x" * 257, "at most 256"),
        ("passwordpassword", "guessed soon"),
        ("qwertyuiop123", "guessed soon"),
        ("aaaaaaaaaaaaaaaa", "guessed soon"),
        ("iloveyou1234", "guessed soon"),
        ("Marigold Roofing", "guessed soon"),
        ("crewplan2026", "guessed soon"),
        ("Ada Lovegood", "guessed soon"),
    ],
)
def test_a_password_that_is_guessed_soon_is_refused(password: str, why: str) -> None:
    with pytest.raises(NotDone, match=why):
        refuse_weak(password, ("Ada", "Lovegood", "Ada Lovegood", "Marigold", "Roofing"))


@pytest.mark.parametrize(
    "password",
    [
        "thunder moss kettle",  # no capital, figure or sign is asked for
        "7294018365529174",
        "πλάκες στη στέγη μας",
        " leading and trailing blanks ",
        "long " * 3 + "w7Kq" * 40,  # 175 characters; ASVS 6.2.9 asks for 64 at least
    ],
)
def test_any_letters_make_a_password_and_count_exactly(password: str) -> None:
    refuse_weak(password)
    kept = hashed(password)
    assert matches(password, kept)
    for near in (password[:-1], password.strip().upper()):
        assert near == password or not matches(near, kept)


def test_a_password_is_kept_as_argon2id_with_its_own_salt() -> None:
    kept = [hashed("thunder moss kettle") for _ in range(2)]
    # RFC 9106, section 4: the second recommended option
    assert all(words.startswith("$argon2id$v=19$m=65536,t=3,p=4$") for words in kept)
    assert kept[0] != kept[1]
    assert not outdated(kept[0])
    assert outdated("$argon2id$v=19$m=8,t=1,p=1$c29tZXNhbHQ$AAAAAAAAAAAAAAAAAAAAAA")


@pytest.mark.parametrize("kept", [None, "", "no hash at all", "$argon2id$v=19$m=8,t=1,p=1$x"])
def test_what_is_no_kept_password_matches_nothing(kept: str | None) -> None:
    assert not matches("thunder moss kettle", kept)
