"""Take the README's pictures of the demo's board: `python tests/browser/take_pictures.py`."""

import subprocess
import sys
from pathlib import Path

from playwright.sync_api import sync_playwright

CHROMIUM = "/usr/bin/chromium"
PICTURES = Path(__file__).parents[2] / "dashboard" / "pictures"
SHOTS = (
    ("week-1280", "/", 1280, 1500),
    ("tomorrow-390", "/tomorrow?crew=Fir", 390, 1180),
)
"""File name, address, width and height in px."""


def main() -> None:
    """Start the demo, take each picture, end the demo."""
    command = [sys.executable, "-m", "crewplan.cli", "demo", "--port", "0"]
    with subprocess.Popen(command, stdout=subprocess.PIPE, text=True) as demo:
        assert demo.stdout is not None
        address = next(line.strip() for line in demo.stdout if line.startswith("http://"))
        PICTURES.mkdir(exist_ok=True)
        with sync_playwright() as playwright:
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
        demo.terminate()


if __name__ == "__main__":
    main()
