"""Settings of the web application; `bylittle serve` gives the data directory and the secret by environment."""

from __future__ import annotations

SECRET_KEY = "replaced when the web room is built"
INSTALLED_APPS: list[str] = ["django.contrib.auth", "django.contrib.contenttypes"]
DATABASES = {"default": {"ENGINE": "django.db.backends.sqlite3", "NAME": ":memory:"}}
