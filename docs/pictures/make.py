"""Take the pictures of the README again: `make screenshots`. Starts the demo on a directory of its own."""

from __future__ import annotations

import os
import subprocess
import sys
import tempfile
import time
import urllib.error
import urllib.request
from pathlib import Path

from playwright.sync_api import Page, sync_playwright

HERE = Path(__file__).parent
PORT, PASSWORD = 8791, "only for pictures"
BASE = f"http://127.0.0.1:{PORT}"
CHROMIUM = ["--no-sandbox", "--disable-gpu", "--disable-quic", "--disable-background-networking"]
PICTURES = {"week": ("/", 900), "review": ("/skills/1/review", 1500), "plan": ("/plans/1/", 800)}


def wait_until_ready() -> None:
    for _ in range(240):
        try:
            urllib.request.urlopen(f"{BASE}/ready", timeout=1).read()
            return
        except (urllib.error.URLError, TimeoutError):
            time.sleep(0.5)
    raise SystemExit("The demo did not start.")


def take(page: Page) -> None:
    page.goto(f"{BASE}/sign-in")
    page.get_by_label("Name").fill("ines")
    page.get_by_label("Password").fill(PASSWORD)
    page.get_by_role("button", name="Sign in").click()
    for name, (address, height) in PICTURES.items():
        page.set_viewport_size({"width": 1180, "height": height})
        page.goto(BASE + address)
        page.screenshot(path=HERE / f"{name}.png")
        print(HERE / f"{name}.png")


def main() -> None:
    with tempfile.TemporaryDirectory() as data:
        command = [
            str(Path(sys.executable).with_name("bylittle")),
            "demo",
            "--data",
            data,
            "--port",
            str(PORT),
        ]
        server = subprocess.Popen(command, env={**os.environ, "DEMO_PASSWORD": PASSWORD})
        try:
            wait_until_ready()
            with sync_playwright() as play:
                browser = play.chromium.launch(executable_path="/usr/bin/chromium", args=CHROMIUM)
                take(browser.new_page())
                browser.close()
        finally:
            server.terminate()
            server.wait()


if __name__ == "__main__":
    main()
