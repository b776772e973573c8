"""The program's own settings with a test secret and quick passwords; the database is SQLite unless told."""

from __future__ import annotations

import atexit
import os
import shutil
import tempfile

os.environ.setdefault("BYLITTLE_SECRET_KEY", "only for tests")
if "BYLITTLE_DATA" not in os.environ:
    os.environ["BYLITTLE_DATA"] = tempfile.mkdtemp(prefix="bylittle-tests-")
    atexit.register(shutil.rmtree, os.environ["BYLITTLE_DATA"], ignore_errors=True)
os.environ.setdefault("BYLITTLE_TIME_ZONE", "Europe/London")

from bylittle.web.settings import *

PASSWORD_HASHERS = ["django.contrib.auth.hashers.MD5PasswordHasher"]
