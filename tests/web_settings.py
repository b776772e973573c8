"""The program's own settings with a test secret and quick passwords; the database is SQLite unless told."""

from __future__ import annotations

import os
import tempfile

os.environ.setdefault("BYLITTLE_SECRET_KEY", "only for tests")
os.environ.setdefault("BYLITTLE_DATA", tempfile.mkdtemp(prefix="bylittle-tests-"))
os.environ.setdefault("BYLITTLE_TIME_ZONE", "Europe/London")

from bylittle.web.settings import *

PASSWORD_HASHERS = ["django.contrib.auth.hashers.MD5PasswordHasher"]
