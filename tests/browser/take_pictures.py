"""Take the README's pictures of the demo's board.

`PYTHONPATH=tests python tests/browser/take_pictures.py`
"""

from pathlib import Path

from playwright.sync_api import sync_playwright
from running_board import running_board

CHROMIUM = "/usr/bin/chromium"
PICTURES = Path(__file__).parents[2] / "dashboard" / "pictures"
SHOTS = (
    ("week-1280", "/", 1280, 1500),
    ("tomorrow-390", "/tomorrow?crew=Fir", 390, 1180),
    ("waiting-1280", "/waiting", 1280, 1100),
    ("telephone-390", "/small/tomorrow?crew=Fir&lang=es", 390, 1180),
)
"""File name, address, width and height in px."""


def main() -> None:
    """Start the demo, take each picture, end the demo."""
    PICTURES.mkdir(exist_ok=True)
    with running_board("demo") as address, sync_playwright() as playwright:
        browser = playwright.chromium.launch(
            executable_path=CHROMIUM, args=["--headless", "--no-sandbox", "--disable-gpu"]
        )
        for name, path, width, height in SHOTS:
            page = browser.new_page(viewport={"width": width, "height": height})
            page.goto(address.rstrip("/") + path)
            page.wait_for_timeout(2500)
            page.screenshot(path=str(PICTURES / f"{name}.png"))
            page.close()
        browser.close()


if __name__ == "__main__":
    main()
