"""CSV tables as no branch has them: broken by accident, or made to break a reader."""

import csv
import io
from collections.abc import Callable
from random import Random

Files = list[tuple[str, bytes]]
"""Name as sent, and contents."""

HOSTILE_CELLS = (
    "=cmd|'/C calc'!A0",
    '=HYPERLINK("http://x.invalid","x")',
    "+1+1",
    "-1+1",
    "@SUM(1)",
    "\t=1+1",
    "\r=1+1",
    "'=1+1",
    "＝1+1",
    ";=1+1",
    "a;=1;b",
    "9" * 5000,
    "1e999",
    "-1e999",
    "1e-999",
    "nan",
    "inf",
    "0x10",
    "1_000",
    "٣",
    "½",
    "-0",
    "1e3",
    "99999999999",
    "0001-01-01",
    "9999-12-31",
    "1969-12-31",
    "2026-02-30",
    "2026-13-01",
    "2026-05-04..2026-05-01",
    "2026-05-04..",
    "2026-05-04T25:00:00Z",
    "2026-05-04T10:00:00+99:99",
    "9999-12-31T23:59:59-14:00",
    "0001-01-01T00:00:00+14:00",
    "1970-01-01T00:00:00+14:00",
    "24:00",
    "23:59:60",
    "none",
    "NONE",
    "yes",
    "\x1b[2J\x1b[31mred",
    "\x07",
    "\x08\x08\x08",
    "\x7f",
    "\x9b31m",
    "a\u202eb",
    "\u2066x\u2069",
    "\u200f\u200e",
    "\u2028",
    "\ufeff",
    "\x85",
    "a\nb\nc",
    "a\r\nb",
    "\U0001f6e0",
    "e\u0301" * 400,
    "../../etc/passwd",
    "file:///etc/passwd",
    "<script>alert(1)</script>",
    "{{7*7}}",
    "${x}",
    "' OR 1=1 --",
    "%s%n%x",
    "x" * 140_000,
    "1;" * 3000,
    ";;;;",
    " ",
    '"',
    "NULL",
    "#REF!",
    "2026-05-04;" * 2000,
    "a" * 60 + "\x1b",
    "\ud7ff",
    "\ue000",
    "\uffff",
    "\U0010ffff",
)


def rows_of(text: bytes) -> list[list[str]]:
    """All rows of a table that is right."""
    return list(csv.reader(io.StringIO(text.decode())))


def csv_bytes(rows: list[list[str]]) -> bytes:
    """Rows as CSV, cells of any kind quoted as they must be."""
    out = io.StringIO()
    csv.writer(out, lineterminator="\n").writerows(rows)
    return out.getvalue().encode("utf-8", "surrogatepass")


def cell_changed(rng: Random, text: bytes) -> bytes:
    rows = rows_of(text)
    for _ in range(rng.choice((1, 1, 3))):
        row = rng.choice(rows[1:] or rows)
        row[rng.randrange(len(row))] = rng.choice(HOSTILE_CELLS)
    return csv_bytes(rows)


def column_changed(rng: Random, text: bytes) -> bytes:
    """One hostile value in every row of a column."""
    rows = rows_of(text)
    at, value = rng.randrange(len(rows[0])), rng.choice(HOSTILE_CELLS[:60])
    for row in rows[1:]:
        row[at : at + 1] = [value]
    return csv_bytes(rows)


def header_changed(rng: Random, text: bytes) -> bytes:
    rows = rows_of(text)
    head = rows[0]
    at = rng.randrange(len(head))
    match rng.randrange(5):
        case 0:
            head[at] = rng.choice(HOSTILE_CELLS)
        case 1:
            head[at] = rng.choice(head)
        case 2:
            head[at] = ""
        case 3:
            head.append(head[at] + rng.choice(("_mph", "_in", "_f", "_kmh", "")))
        case _:
            rng.shuffle(head)
    return csv_bytes(rows)


def rows_changed(rng: Random, text: bytes) -> bytes:
    rows = rows_of(text)
    body = rows[1:]
    match rng.randrange(6):
        case 0:
            body = []
        case 1:
            body = body * 3
        case 2:
            rng.shuffle(body)
        case 3:
            body = body[: rng.randrange(len(body) + 1)]
        case 4:
            body = [row[: rng.randrange(len(row) + 1)] for row in body]
        case _:
            body = [[*row, rng.choice(HOSTILE_CELLS)] for row in body]
    return csv_bytes([rows[0], *body])


def bytes_changed(rng: Random, text: bytes) -> bytes:
    data = bytearray(text)
    for _ in range(rng.choice((1, 2, 20))):
        at = rng.randrange(len(data))
        match rng.randrange(3):
            case 0:
                data[at] = rng.randrange(256)
            case 1:
                del data[at : at + rng.choice((1, 9, 300))]
            case _:
                data[at:at] = rng.choice((b'"', b",", b"\n", b"\0", b"\xff", b"\r", b'"",""', b";"))
        if not data:
            break
    return bytes(data)


def quoting_broken(rng: Random, text: bytes) -> bytes:
    lines = text.split(b"\n")
    at = rng.randrange(len(lines))
    broken = (b'"' + lines[at], lines[at] + b'"', lines[at].replace(b",", b'","', 1))
    lines[at] = rng.choice((*broken, b'""' * 5000, b'"' * 4999, b'"a"b,"c"'))
    return b"\n".join(lines)


def encoded_otherwise(rng: Random, text: bytes) -> bytes:
    plain = text.decode().replace("a", rng.choice(("ä", "a", "ш")), 3)
    wide = (
        b"\xef\xbb\xbf",
        b"\xc0\xaf",
        b"\xed\xa0\x80",
        b"\xf4\x90\x80\x80",
        b"\xf8\x88\x80\x80\x80",
    )
    match rng.randrange(6):
        case 0:
            return plain.encode(rng.choice(("utf-16", "utf-16-le", "utf-16-be", "utf-32")))
        case 1:
            return plain.encode("latin-1", "replace")
        case 2:
            return plain.encode(rng.choice(("cp037", "shift-jis", "utf-7", "cp1252")), "replace")
        case 3:
            return rng.choice(wide) * rng.choice((1, 2)) + text
        case 4:
            at = rng.randrange(len(text))
            return text[:at] + rng.choice(wide) + text[at:]
        case _:
            return text.replace(
                b"\n", rng.choice((b"\r", b"\r\n", b"\n\n", b"\x0b", b"\xe2\x80\xa8"))
            )


def very_large(rng: Random, text: bytes) -> bytes:
    head = text.split(b"\n")[0]
    match rng.randrange(9):
        case 0:
            return text + b"x" * 3_000_000
        case 1:
            return head + b"," * 1_000_000 + b"\n" + text
        case 2:
            return b"a," * 400_000 + b"\n" + text
        case 3:
            return text + b"\n" * 1_200_000
        case 4:
            return text + b'"' + b"x\n" * 1_000_000 + b'"\n'
        case 5:
            return text + (b"," * 300 + b"x\n") * 200
        case 6:
            return ",".join(f"c{n}" for n in range(250)).encode() + b"\n" + b"y\n" * 40_000
        case 7:
            return head + b"\n" + (b"?," * head.count(b",") + b"?\n") * 3_000
        case _:
            return head + b"," + b"n" * 100_000 + b"\n" + text


def other_contents(rng: Random, text: bytes) -> bytes:
    """Something else under a table's name."""
    return rng.choice(
        (
            b"",
            b"\n",
            b"\xef\xbb\xbf",
            b"\xef\xbb\xbf\n",
            b"\r\r\r",
            b",,,\n",
            b'""\n',
            b"\x00" * 100,
            b"PK\x03\x04" + text,
            b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1" + bytes(512),
            b"\x1f\x8b\x08" + text,
            b"%PDF-1.7\n",
            b"<html><table></table></html>",
            b'{"a": [1]}',
            text.replace(b",", b";"),
            text.replace(b",", b"\t"),
            b"sep=;\n" + text,
            rng.randbytes(400),
            text[::-1],
            b"# " + text,
        )
    )


def circle(rng: Random, text: bytes) -> bytes:
    """Rows that refer to each other in chains and circles, where a table has `after`."""
    rows = rows_of(text)
    if "after" not in rows[0]:
        return cell_changed(rng, text)
    at, words = rows[0].index("after"), [row[0] for row in rows[1:]]
    pairs = rng.random() < 0.5
    for number, row in enumerate(rows[1:]):
        row[at] = words[number ^ 1] if pairs and number ^ 1 < len(words) else words[number - 1]
    if rng.random() < 0.2:
        first = rows[1]
        names = [f"c{n}" for n in range(4_000)]
        rows = [rows[0]]
        for n, name in enumerate(names):
            row = list(first)
            row[0], row[at] = name, names[n ^ 1] if pairs else names[n - 1]
            rows.append(row)
    return csv_bytes(rows)


TABLE_KINDS: dict[str, Callable[[Random, bytes], bytes]] = {
    "a cell replaced": cell_changed,
    "a column replaced": column_changed,
    "the header changed": header_changed,
    "rows lost, doubled, cut": rows_changed,
    "bytes changed": bytes_changed,
    "quotation marks broken": quoting_broken,
    "another encoding": encoded_otherwise,
    "very large": very_large,
    "something else under the name": other_contents,
    "rows in circles": circle,
}
"""A table that is right to one that is not."""
