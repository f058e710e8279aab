"""Workbooks as no spreadsheet writes them, and some that it does."""

import csv
import io
import struct
import zipfile
from collections.abc import Callable, Mapping
from random import Random

import openpyxl
from hostile_tables import HOSTILE_CELLS

Parts = dict[str, bytes]
_SHEET = "xl/worksheets/sheet1.xml"
_TEXTS = "xl/sharedStrings.xml"
_DOCTYPES = (
    '<!DOCTYPE a [<!ENTITY a "x"><!ENTITY b "&a;&a;&a;&a;&a;&a;&a;&a;">]>',
    '<!DOCTYPE a [<!ENTITY x SYSTEM "file:///etc/passwd">]>',
    '<!DOCTYPE a SYSTEM "http://127.0.0.1:9/a.dtd">',
    '<!DOCTYPE a [<!ENTITY % p SYSTEM "file:///dev/zero"> %p;]>',
    "<!DOCTYPE a ["
    + "".join(f'<!ENTITY e{n} "{f"&e{n - 1};" * 10 if n else "lol"}">' for n in range(12))
    + "]>",
)  # fmt: skip
_REFS = (
    "XFD1048576",
    "A1048577",
    "ZZZ1",
    "A4000000000",
    "A0",
    "A-5",
    "1A",
    "",
    "A1:B2",
    "$A$1",
    "AAAA1",
)


def plain_book(tables: Mapping[str, bytes]) -> bytes:
    """Tables as a spreadsheet would save them, all cells as texts."""
    book = openpyxl.Workbook()
    book.remove(book.active)
    for name, text in tables.items():
        sheet = book.create_sheet(name)
        for row in csv.reader(io.StringIO(text.decode())):
            sheet.append(row)
    out = io.BytesIO()
    book.save(out)
    return out.getvalue()


def parts_of(book: bytes) -> Parts:
    """The parts of a workbook that is right."""
    with zipfile.ZipFile(io.BytesIO(book)) as package:
        return {name: package.read(name) for name in package.namelist()}


def packed(parts: Mapping[str, bytes], packing: int = zipfile.ZIP_DEFLATED) -> bytes:
    """Parts as an archive."""
    out = io.BytesIO()
    with zipfile.ZipFile(out, "w", packing, compresslevel=1) as package:
        for name, contents in parts.items():
            package.writestr(name, contents)
    return out.getvalue()


def with_text(parts: Parts, text: str) -> Parts:
    """Parts with a table of one text, which cells refer to as number 0."""
    kind = "application/vnd.openxmlformats-officedocument.spreadsheetml.sharedStrings+xml"
    types = parts["[Content_Types].xml"].replace(
        b"</Types>",
        f'<Override PartName="/{_TEXTS}" ContentType="{kind}"/></Types>'.encode(),
    )
    main = "http://schemas.openxmlformats.org/spreadsheetml/2006/main"
    strings = f'<sst xmlns="{main}"><si><t>{text}</t></si></sst>'
    return {**parts, "[Content_Types].xml": types, _TEXTS: strings.encode()}


def _cell(rng: Random) -> str:
    value = rng.choice(HOSTILE_CELLS).replace("&", "&amp;").replace("<", "&lt;")
    value = "".join(c for c in value if c >= " " or c in "\n\t")
    ref = f' r="{rng.choice(_REFS)}"' if rng.random() < 0.4 else ""
    shapes = (
        f'<c{ref} t="inlineStr"><is><t>{value}</t></is></c>',
        f'<c{ref} t="n"><v>{value}</v></c>',
        f'<c{ref} t="b"><v>{value}</v></c>',
        f'<c{ref} t="d"><v>{value}</v></c>',
        f'<c{ref} t="e"><v>#REF!</v></c>',
        f'<c{ref} t="s"><v>{rng.choice(("0", "99999999", "-1", "x"))}</v></c>',
        f'<c{ref} t="str"><f>1+1</f><v>{value}</v></c>',
        f"<c{ref}><f>{value}</f></c>",
        f"<c{ref}><f>1/0</f><v>2</v></c>",
        f'<c{ref}><f t="array" ref="A1:A9">SUM(A1)</f><v>1</v></c>',
        f'<c{ref}><f t="dataTable" ref="A1"/><v>1</v></c>',
        f'<c{ref}><f t="shared" si="0"/><v/></c>',
        f'<c{ref} s="999999"><v>1</v></c>',
        f'<c{ref} t="inlineStr"><is><t>_xD800__x001B_[2J</t></is></c>',
        f"<c{ref}><v>{'9' * 5000}</v></c>",
    )
    return rng.choice(shapes)


def _into_sheet(parts: Parts, rows: str) -> Parts:
    sheet = parts[_SHEET].decode()
    return {**parts, _SHEET: sheet.replace("</sheetData>", f"{rows}</sheetData>").encode()}


def cells_hostile(rng: Random, parts: Parts) -> bytes:
    numbers = ("", ' r="3"', ' r="4000000000"', ' r="-1"', ' r="1048576"')
    rows = "".join(
        f"<row{rng.choice(numbers)}>"
        + "".join(_cell(rng) for _ in range(rng.randrange(1, 5)))
        + "</row>"
        for _ in range(rng.randrange(1, 4))
    )
    return packed(_into_sheet(parts, rows))


def entities(rng: Random, parts: Parts) -> bytes:
    name = rng.choice(list(parts))
    text = parts[name].decode().partition("?>")
    body = text[2] or text[0]
    doctype = rng.choice(_DOCTYPES)
    if rng.random() < 0.5:
        body = body.replace("</t>", "&b;&x;&e11;</t>", 1)
    encoding = rng.choice(("utf-8", "utf-16", "utf-16-le"))
    whole = f'<?xml version="1.0" encoding="{encoding[:6]}"?>{doctype}{body}'
    return packed({**parts, name: whole.encode(encoding)})


def bombs(rng: Random, parts: Parts) -> bytes:
    match rng.randrange(9):
        case 0:
            return packed({**parts, "xl/media/a.bin": bytes(60_000_000)})
        case 1:
            inner = packed({"a": bytes(5_000_000)})
            return packed({**parts, "xl/embeddings/a.zip": inner, "xl/b.xlsx": inner})
        case 2:
            return packed(parts | {f"xl/n{n}": b"" for n in range(3_000)})
        case 3:
            return packed(_into_sheet(parts, "<row>" + "<c/>" * 200_000 + "</row>"))
        case 4:
            return packed(_into_sheet(parts, '<row><c r="XFD2"/></row>' * 5_000))
        case 5:
            return packed(_into_sheet(parts, "<x/>" * 500_000))
        case 6:
            text = "y" * 100_000
            rows = "<row>" + '<c t="s"><v>0</v></c>' * 20 + "</row>"
            return packed(with_text(_into_sheet(parts, rows * 300), f" {text} "))
        case 7:
            deep = "<a>" * 5_000 + "</a>" * 5_000
            return packed({**parts, rng.choice(list(parts)): deep.encode()})
        case _:
            return packed(_into_sheet(parts, "<row><c><v>1</v></c></row>" * 20_000))


def lying_sizes(rng: Random, parts: Parts) -> bytes:
    """An archive whose list tells other sizes, places, flags or packings than its entries have."""
    data = bytearray(packed({**parts, _SHEET: parts[_SHEET] + b" " * 2_000_000}))
    at = data.index(b"PK\x01\x02")
    for _ in range(rng.randrange(1, 4)):
        entry = rng.choice(
            [n for n in range(at, len(data) - 46) if data[n : n + 4] == b"PK\x01\x02"]
        )
        offset, form = rng.choice(
            ((8, "<H"), (10, "<H"), (16, "<L"), (20, "<L"), (24, "<L"), (42, "<L"))
        )
        largest = 2 ** (8 * struct.calcsize(form)) - 1
        value = rng.choice((0, 1, 9, 12, 14, 100, largest, largest // 2))
        struct.pack_into(form, data, entry + offset, min(value, largest))
    if rng.random() < 0.3:
        end = data.rindex(b"PK\x05\x06")
        struct.pack_into("<L", data, end + rng.choice((12, 16)), rng.choice((0, 7, 2**32 - 1)))
    return bytes(data)


def bytes_hostile(rng: Random, parts: Parts) -> bytes:
    data = bytearray(packed(parts, rng.choice((zipfile.ZIP_STORED, zipfile.ZIP_DEFLATED))))
    for _ in range(rng.choice((1, 5, 50))):
        data[rng.randrange(len(data))] = rng.randrange(256)
    return bytes(data[: rng.choice((len(data), rng.randrange(len(data))))])


def parts_changed(rng: Random, parts: Parts) -> bytes:
    changed = dict(parts)
    name = rng.choice(list(changed))
    match rng.randrange(5):
        case 0:
            del changed[name]
        case 1:
            changed[name] = rng.choice(
                (b"", b"<", b"<a/>", rng.randbytes(300), b"\xff\xfe<\0a\0/\0>\0")
            )
        case 2:
            changed["xl/vbaProject.bin"] = b"\xd0\xcf\x11\xe0" + bytes(2000)
            changed["../../../tmp/evil"] = b"x"
        case 3:
            changed[name] = bytes(
                b if rng.random() > 0.003 else rng.randrange(32, 127) for b in changed[name]
            )
        case _:
            words = (
                b"jobs",
                b"Jobs",
                b"JOBS ",
                b"\xe2\x80\xaejobs",
                b"plan",
                b"&#x1b;",
                b"a" * 300,
            )
            book = "xl/workbook.xml"
            changed[book] = changed[book].replace(b'name="', b'name="' + rng.choice(words), 2)
    return packed(changed)


def other_contents(rng: Random, parts: Parts) -> bytes:
    """Something else under a workbook's name."""
    older = b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1" + bytes(2048)
    plain = (
        b"",
        b"a,b\n1,2\n",
        b"PK\x03\x04",
        b"PK\x05\x06" + bytes(18),
        older,
        rng.randbytes(500),
    )
    made: tuple[Callable[[], bytes], ...] = (
        lambda: rng.choice(plain),
        lambda: packed({"mimetype": b"x", "content.xml": b"<a/>"}),
        lambda: packed(parts, rng.choice((zipfile.ZIP_BZIP2, zipfile.ZIP_LZMA))),
        lambda: packed(parts) * 2,
        lambda: b"x" * 70_000 + packed(parts),
        lambda: packed(parts) + b"x" * 70_000,
        lambda: packed({}),
    )
    return rng.choice(made)()


BOOK_KINDS: dict[str, Callable[[Random, Parts], bytes]] = {
    "cells and formulas": cells_hostile,
    "entities": entities,
    "bombs": bombs,
    "archive lies about itself": lying_sizes,
    "bytes changed": bytes_hostile,
    "parts lost, changed, added": parts_changed,
    "something else under the name": other_contents,
}
"""The parts of a workbook that is right to a file that is not."""
