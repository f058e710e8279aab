"""The document that a browser gets first: the page as plain HTML, then the script's own."""

from html import escape
from pathlib import Path

_ASSETS = Path(__file__).parent / "assets"
_REFRESH_S = 600


def living_document(title: str, plain: str, parts: dict[str, str]) -> str:
    """With Dash's script, which takes the plain page's place once its own page is there."""
    return f"""<!DOCTYPE html>
<html lang="en">
  <head>
    {parts["metas"]}
    <meta name="viewport" content="width=device-width, initial-scale=1">
    <title>{escape(title)}</title>
    {_icon()}
    {parts["css"]}
    <noscript><meta http-equiv="refresh" content="{_REFRESH_S}"></noscript>
  </head>
  <body>
    <div id="first-paint">{plain}</div>
    {parts["app_entry"]}
    <footer class="scripts">{parts["config"]}{parts["scripts"]}{parts["renderer"]}</footer>
  </body>
</html>"""


def small_document(title: str, plain: str) -> str:
    """Without Dash: one file, its look and the ageing of its verdicts inside."""
    look = (_ASSETS / "board.css").read_text("utf-8")
    [ageing] = inline_scripts()
    return f"""<!DOCTYPE html>
<html lang="en">
  <head>
    <meta charset="utf-8">
    <meta name="viewport" content="width=device-width, initial-scale=1">
    <title>{escape(title)}</title>
    {_icon()}
    <style>{look}</style>
    <noscript><meta http-equiv="refresh" content="{_REFRESH_S}"></noscript>
  </head>
  <body>
    {plain}
    <script>{ageing}</script>
  </body>
</html>"""


def inline_scripts() -> tuple[str, ...]:
    """The scripts that stand inside our own documents, as a browser sees them."""
    return (is_it_there() + (_ASSETS / "ageing.js").read_text("utf-8"),)


def is_it_there() -> str:
    """The script that asks whether the server is there; what ages stands after it."""
    return (_ASSETS / "absent.js").read_text("utf-8")


def _icon() -> str:
    return '<link rel="icon" href="/assets/go.svg" type="image/svg+xml">'
