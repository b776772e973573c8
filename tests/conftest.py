"""For all tests: laws are hunted with fresh examples at the desk and with the same ones in CI."""

from __future__ import annotations

import os

from hypothesis import settings

settings.register_profile("ci", derandomize=True, database=None)
if os.environ.get("CI"):
    settings.load_profile("ci")
