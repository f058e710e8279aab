"""The sheet as one HTML file without scripts, pictures or fonts of its own."""

from html import escape

from crewplan.publishing.crew_sheet.blocks import (
    Block,
    Grid,
    Lines,
    Pairs,
    Picture,
    Section,
    VerdictCard,
    Words,
)
from crewplan.publishing.crew_sheet.whole import CrewSheet

_STYLE = """
@page { margin: 13mm 12mm; }
* { box-sizing: border-box; }
body { margin: 0 auto; padding: 4mm; max-width: 194mm; color: #000; background: #fff;
  font: 11pt/1.35 Arial, Helvetica, "Liberation Sans", sans-serif; }
h1 { font-size: 17pt; line-height: 1.2; margin: 0 0 3mm; }
h2 { font-size: 13.5pt; margin: 6mm 0 2mm; border-bottom: 0.6mm solid #000; break-after: avoid; }
p, ul, ol, dl, table { margin: 0 0 2.5mm; }
.banner, .mark { border: 0.8mm solid #000; padding: 2mm 3mm; font-weight: bold; }
.mark { border-style: double; border-width: 1.2mm; }
.advice { font-weight: bold; }
dl { display: grid; grid-template-columns: 42mm 1fr; gap: 0.6mm 3mm; }
dt { font-weight: bold; }
dd { margin: 0; overflow-wrap: anywhere; }
table { border-collapse: collapse; width: 100%; table-layout: fixed; }
th, td { border: 0.25mm solid #000; padding: 1mm 1.4mm; text-align: left; vertical-align: top;
  overflow-wrap: break-word; hyphens: manual; }
th { border-bottom-width: 0.6mm; font-size: 9.5pt; }
tr { break-inside: avoid; }
td.figure, th.figure { text-align: right; font-variant-numeric: tabular-nums; }
.tall td { height: 9mm; }
.tick { width: 8mm; }
ul, ol { padding-left: 6mm; }
li { margin-bottom: 0.8mm; }
ul.ticks { list-style: none; padding-left: 0; }
ul.ticks.short { display: grid; grid-template-columns: repeat(auto-fill, minmax(72mm, 1fr));
  column-gap: 4mm; }
input[type=checkbox] { width: 4.2mm; height: 4.2mm; margin: 0 1.6mm 0 0; vertical-align: -0.6mm;
  appearance: none; border: 0.4mm solid #000; border-radius: 0; background: #fff; }
input[type=checkbox]:checked::after { content: "\\2715"; display: block; line-height: 3.4mm;
  text-align: center; font-size: 10pt; }
.verdict { break-inside: avoid; border: 0.5mm solid #000; padding: 2mm 3mm; margin-bottom: 3mm; }
.verdict p { margin: 0; }
.verdict h3 { margin: 0 0 1mm; font-size: 12pt; }
.word { display: inline-block; border: 0.7mm solid #000; padding: 0 2mm; margin-right: 2mm; }
.word.no-go { background: #000; color: #fff; -webkit-print-color-adjust: exact;
  print-color-adjust: exact; }
.word.unknown { border-style: dashed; }
figure { margin: 0 0 3mm; break-inside: avoid; overflow-x: auto; }
figure svg { display: block; }
.wide { overflow-x: auto; }
@media screen and (max-width: 600px) {
  table, tbody, tr, td { display: block; width: auto; }
  colgroup { display: none; }
  thead { position: absolute; width: 1px; height: 1px; overflow: hidden; clip-path: inset(50%); }
  tr { display: flex; flex-wrap: wrap; gap: 0 5mm; border: 0.25mm solid #000; margin: 0 0 2mm;
    padding: 1mm 2mm; }
  td { border: 0; padding: 0.4mm 0; min-width: 0; }
  td[data-label] { display: flex; gap: 1.5mm; }
  td[data-label]::before { content: attr(data-label); font-size: 9.5pt; flex: none;
    max-width: 34mm; }
  td[data-label]:empty { display: none; }
  .tall td[data-label]:empty { display: flex; flex: 1 0 100%; }
  tr > td[data-label]:first-child, .tick-first td:nth-child(2) { font-weight: bold; }
  td.figure { text-align: left; }
  .tall td { height: auto; min-height: 9mm; }
  figure svg { width: 100%; height: auto; }
}
@media print {
  .wide { overflow: visible; }
  body { padding: 0; max-width: none; font-size: 10pt; }
  section.own-page { break-before: page; }
  figure { overflow: visible; }
}
"""


_SHORT = 46
"""Letters; shorter lines with boxes stand side by side."""


def sheet_html(sheet: CrewSheet) -> str:
    """A whole document, UTF-8."""
    mark = f'<p class="mark">{escape(sheet.mark)}</p>' if sheet.mark else ""
    banner = "".join(f'<p class="banner">{escape(line)}</p>' for line in sheet.banner)
    return (
        '<!doctype html>\n<html lang="en"><head><meta charset="utf-8">'
        '<meta name="viewport" content="width=device-width, initial-scale=1">'
        f"<title>{escape(sheet.title)}</title><style>{_STYLE}</style></head><body><main>"
        f"{banner}{mark}<h1>{escape(sheet.title)}</h1>"
        f'<p class="advice">{escape(sheet.advice)}</p>'
        + "".join(map(_section, sheet.sections))
        + "</main></body></html>\n"
    )


def _section(section: Section) -> str:
    kind = ' class="own-page"' if section.own_page else ""
    blocks = "".join(map(_block, section.blocks))
    return f"<section{kind}><h2>{escape(section.title)}</h2>{blocks}</section>"


def _block(block: Block) -> str:
    match block:
        case Words(text, strong):
            shown = f"<b>{escape(text)}</b>" if strong else escape(text)
            return f"<p>{shown}</p>"
        case Pairs(rows):
            pairs = (f"<dt>{escape(name)}</dt><dd>{escape(words)}</dd>" for name, words in rows)
            return f"<dl>{''.join(pairs)}</dl>"
        case Lines():
            return _lines(block)
        case Grid():
            return _grid(block)
        case VerdictCard(word, told, title, windows, lines):
            return (
                f'<div class="verdict"><h3><span class="word {word}">{escape(told)}</span>'
                f"{escape(title)}</h3><p><b>{escape(' '.join(windows))}</b></p>"
                f"<p>{escape(' '.join(lines))}</p></div>"
            )
        case Picture(svg, _, _, caption):
            told = f"<figcaption>{escape(caption)}</figcaption>"
            return f'<figure tabindex="0">{svg}{told}</figure>'


def _lines(block: Lines) -> str:
    if block.ticks:
        items = (
            f'<li><label><input type="checkbox"> {escape(text)}</label></li>'
            for text in block.items
        )
        short = " short" if all(len(text) <= _SHORT for text in block.items) else ""
        return f'<ul class="ticks{short}">{"".join(items)}</ul>'
    tag = "ol" if block.numbered else "ul"
    return f"<{tag}>{''.join(f'<li>{escape(text)}</li>' for text in block.items)}</{tag}>"


def _grid(block: Grid) -> str:
    def cell(tag: str, place: int, text: str) -> str:
        kind = ' class="figure"' if place in block.figures else ""
        role = "columnheader" if tag == "th" else "cell"
        # on a telephone a row is a card, and each cell says what it is
        name = escape(block.columns[place])
        label = f' data-label="{name}"' if tag == "td" and name else ""
        return f'<{tag} role="{role}"{kind}{label}>{escape(text)}</{tag}>'

    total = sum(block.widths)
    widths = "".join(f'<col style="width:{100 * share / total:.4g}%">' for share in block.widths)
    head = "".join(cell("th", *pair) for pair in enumerate(block.columns))
    body = []
    for row in block.rows:
        tick = ""
        if block.ticks:
            tick = f'<td role="cell"><input type="checkbox" aria-label="{escape(row[0])}"></td>'
        cells = "".join(cell("td", *pair) for pair in enumerate(row))
        body.append(f'<tr role="row">{tick}{cells}</tr>')
    if block.ticks:
        widths, head = f'<col class="tick">{widths}', f'<th role="columnheader"></th>{head}'
    kinds = [*["tall"] * block.tall, *["tick-first"] * block.ticks]
    kind = f' class="{" ".join(kinds)}"' if kinds else ""
    table = (
        f'<table role="table"{kind}><colgroup>{widths}</colgroup>'
        f'<thead role="rowgroup"><tr role="row">{head}</tr></thead>'
        f'<tbody role="rowgroup">{"".join(body)}</tbody></table>'
    )
    return f'<div class="wide" tabindex="0">{table}</div>'
