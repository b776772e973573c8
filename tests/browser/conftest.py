"""A real headless Chromium against the program served on this machine."""

from __future__ import annotations

import os
import threading
from collections.abc import Iterator
from typing import Any

import pytest
from django.core.handlers.wsgi import WSGIHandler
from playwright.sync_api import Page

os.environ.setdefault("DJANGO_ALLOW_ASYNC_UNSAFE", "1")  # Playwright's loop runs in the test's thread

CHROMIUM = os.environ.get("CHROMIUM", "/usr/bin/chromium")
QUIET = (
    "--no-sandbox",
    "--disable-gpu",
    "--disable-quic",
    "--no-first-run",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
)


@pytest.fixture(scope="session", autouse=True)
def one_request_at_a_time() -> Iterator[None]:
    """The served threads share the tests' one connection to a database in memory: no two may write at once.

    A page of pictures asks for many at a time; outside tests each thread has a connection of its own.
    """
    answer, turn = WSGIHandler.__call__, threading.RLock()

    def in_turn(self: WSGIHandler, *asked: Any) -> Any:
        with turn:
            return answer(self, *asked)

    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(WSGIHandler, "__call__", in_turn)
        yield


@pytest.fixture(scope="session")
def browser_type_launch_args(browser_type_launch_args: dict[str, Any]) -> dict[str, Any]:
    return {**browser_type_launch_args, "executable_path": CHROMIUM, "args": list(QUIET)}


@pytest.fixture
def quiet_page(page: Page) -> Iterator[Page]:
    """A page that must not complain: no console errors, no request leaves this machine."""
    complaints: list[str] = []
    page.on("console", lambda said: complaints.append(said.text) if said.type == "error" else None)
    page.on("pageerror", lambda error: complaints.append(str(error)))
    page.on(
        "request",
        lambda request: (
            None
            if request.url.startswith(("http://localhost", "http://127.0.0.1", "data:", "blob:"))
            else complaints.append(request.url)
        ),
    )
    yield page
    assert complaints == []
