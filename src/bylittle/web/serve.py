"""Opening the web application on a data directory: secret, database, first account or the demo."""

from __future__ import annotations

import os
import socket
import sys
from pathlib import Path
from typing import Any

from bylittle.web.data_directory import kept_secret, migrate, prepare

PASSWORD_FILE = "demo-password"
THREADS = 4


def run(data_dir: Path, port: int, *, demo: bool) -> int:
    """Serve until stopped. 2: could not run (the port is taken)."""
    if _taken(port):
        print(
            f"Port {port} is in use by another program. Stop it, or choose another: --port {port + 1}",
            file=sys.stderr,
        )
        return 2
    data_dir = prepare(data_dir)
    migrate()
    _forget_working_copies()
    for line in _demo(data_dir) if demo else _first_account(data_dir, port):
        print(line, flush=True)
    _serve(port)
    return 0


def _taken(port: int) -> bool:
    with socket.socket() as probe:
        probe.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
        try:
            probe.bind(("127.0.0.1", port))
        except OSError:
            return True
    return False


def _forget_working_copies() -> None:
    from bylittle.web.pictures.tidy import forget_working_copies

    forget_working_copies()


def _demo(data_dir: Path) -> list[str]:
    from bylittle.web.demo_caseload import USERS, load

    password = os.environ.get("DEMO_PASSWORD") or kept_secret(data_dir / PASSWORD_FILE, 9)
    load(password)
    return [f"Demo caseload of Tern Bay. Sign in as {', '.join(USERS)}; password: {password}"]


def _first_account(data_dir: Path, port: int) -> list[str]:
    from bylittle.web.people.models import Person
    from bylittle.web.people.views import first_account_key

    if Person.objects.exists():
        return []
    key = kept_secret(first_account_key(data_dir), 24)
    return [
        "No account yet. Make the first one here (works once):",
        f"http://127.0.0.1:{port}/first-account/{key}",
    ]


def _serve(port: int) -> None:
    from gunicorn.app.base import BaseApplication

    def told(worker: object) -> None:
        print(f"Bylittle is ready at http://127.0.0.1:{port}", flush=True)

    class Server(BaseApplication):  # type: ignore[misc]
        def load_config(self) -> None:
            told_once: dict[str, Any] = {
                "bind": os.environ.get("BYLITTLE_BIND", f"127.0.0.1:{port}"),
                "workers": 1,
                "threads": THREADS,
                "worker_class": "gthread",
                "loglevel": "warning",
                "timeout": 120,
                "post_worker_init": told,
            }
            for name, value in told_once.items():
                self.cfg.set(name, value)

        def load(self) -> Any:
            from django.urls import get_resolver

            from bylittle.web.wsgi import application

            get_resolver().url_patterns  # noqa: B018  the pages are imported before the first visitor comes
            return application

    Server().run()
