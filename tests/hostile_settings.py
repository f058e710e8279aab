"""Settings files as no branch has them."""

from collections.abc import Callable
from random import Random

_VALUES = (
    "[" * 2_000,
    "[" * 900 + "]" * 900,
    "9" * 5_000,
    "0x" + "f" * 20_000,
    "1e999",
    "-inf",
    "nan",
    "0001-01-01",
    "9999-12-31T23:59:59.999999+23:59",
    "0001-01-01T00:00:00+23:59",
    "07:32:00",
    '"""',
    "'''",
    '"\\u001b[2J"',
    '"\\u202e"',
    '"\\ud800"',
    '"\\u0000"',
    '"' + "x" * 20_000 + '"',
    "{}",
    "{a={a={a={}}}}",
    "[[1]]",
    "[{a=1}]",
    "true",
    '""',
    "-1",
    "0",
    "1e12",
    '"=1+1"',
    "[" + "1," * 9_000 + "]",
    '["2026-05-04"]',
    "[0001-01-01, 9999-12-31]",
    '["=cmd"]',
    '"../../etc/passwd"',
    '"America/../UTC"',
    '"/etc/passwd"',
    "{ country = 'US', subdivision = '\\u001b' }",
    "{ country = '../x' }",
    '"\\n\\n"',
    '"Factory"',
    '"posixrules"',
    '"US/./Central"',
)


def value_changed(rng: Random, text: bytes) -> bytes:
    lines = text.decode().splitlines()
    at = rng.choice([n for n, line in enumerate(lines) if "=" in line])
    lines[at] = f"{lines[at].partition('=')[0]}= {rng.choice(_VALUES)}"
    return "\n".join(lines).encode()


def keys_changed(rng: Random, text: bytes) -> bytes:
    added = rng.choice(
        (
            "a" * 30_000 + " = 1",
            ".".join("a" * 8_000) + " = 1",
            "[" + ".".join("a" * 8_000) + "]",
            "".join(f"k{n} = 1\n" for n in range(4_000)),
            "[" + " " * 30_000,
            "[[a]]\n" * 5_000,
            '"\\u001b[2J" = 1',
            "'' = 1",
            "shift_h = 1\nshift_h = 2",
            "[requirements]\nroof = 1",
            "[requirements]\n'\\u001b' = ['a']",
            '[requirements]\nroof = ["\\u001b"]',
            "[holidays]\n",
            "[demo]\nnow = 2026-05-04T10:00:00Z",
            "[demo]\nnow = 1",
            "=",
            "\x00",
            "\x1b",
            "\ufeff",
            "[requirements]\n" + "".join(f"r{n} = ['a']\n" for n in range(3_000)),
            "#" + "x" * 60_000,
            "a = " + "[" * 30_000 + "]" * 30_000,
            "x" * 80_000,
        )
    )
    before = rng.random() < 0.5
    return (f"{added}\n{text.decode()}" if before else f"{text.decode()}\n{added}\n").encode()


def bytes_changed(rng: Random, text: bytes) -> bytes:
    data = bytearray(text)
    for _ in range(rng.choice((1, 5, 40))):
        data[rng.randrange(len(data))] = rng.randrange(256)
    return bytes(data[: rng.choice((len(data), rng.randrange(len(data))))])


def encoded_otherwise(rng: Random, text: bytes) -> bytes:
    name = rng.choice(("utf-16", "utf-16-le", "utf-32", "cp037", "utf-8-sig"))
    return text.decode().encode(name, "replace")


SETTINGS_KINDS: dict[str, Callable[[Random, bytes], bytes]] = {
    "a value replaced": value_changed,
    "keys added": keys_changed,
    "bytes changed": bytes_changed,
    "another encoding": encoded_otherwise,
}
"""Settings that are right to some that are not."""
