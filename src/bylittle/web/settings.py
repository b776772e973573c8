"""Settings of the web application. Everything a service may change comes in by environment variables."""

from __future__ import annotations

import os
from pathlib import Path
from urllib.parse import unquote, urlparse

DATA_DIR = Path(os.environ.get("BYLITTLE_DATA", "./data")).resolve()
SECRET_KEY = os.environ.get("BYLITTLE_SECRET_KEY", "")
DEBUG = False
ALLOWED_HOSTS = os.environ.get("BYLITTLE_HOSTS", "127.0.0.1,localhost,[::1],testserver").split(",")
SERVED_OVER_HTTPS = os.environ.get("BYLITTLE_HTTPS", "") == "1"

INSTALLED_APPS = [
    "django.contrib.auth",
    "django.contrib.contenttypes",
    "django.contrib.sessions",
    "django.contrib.messages",
    "django.contrib.staticfiles",
    "django_htmx",
    "bylittle.web.people",
    "bylittle.web.skills",
    "bylittle.web.pictures",
    "bylittle.web.plans",
    "bylittle.web.practice",
    "bylittle.web.reviews",
    "bylittle.web.reports",
    "bylittle.web.scans",
    "bylittle.web.caseload",
]

MIDDLEWARE = [
    "django.middleware.security.SecurityMiddleware",
    "whitenoise.middleware.WhiteNoiseMiddleware",
    "csp.middleware.CSPMiddleware",
    "django.contrib.sessions.middleware.SessionMiddleware",
    "django.middleware.common.CommonMiddleware",
    "django.middleware.csrf.CsrfViewMiddleware",
    "django.contrib.auth.middleware.AuthenticationMiddleware",
    "bylittle.web.people.kept_forms.SignInMiddleware",
    "django.contrib.messages.middleware.MessageMiddleware",
    "django.middleware.clickjacking.XFrameOptionsMiddleware",
    "django_htmx.middleware.HtmxMiddleware",
]

ROOT_URLCONF = "bylittle.web.urls"
WSGI_APPLICATION = "bylittle.web.wsgi.application"

TEMPLATES = [
    {
        "BACKEND": "django.template.backends.django.DjangoTemplates",
        "DIRS": [Path(__file__).parent / "templates"],
        "APP_DIRS": True,
        "OPTIONS": {
            "context_processors": [
                "django.template.context_processors.request",
                "django.contrib.auth.context_processors.auth",
                "django.contrib.messages.context_processors.messages",
                "bylittle.web.people.context.service",
            ],
            "builtins": ["bylittle.web.people.templatetags.house"],
        },
    }
]

# Measured: DEFERRED transactions lock one another out under several writers, IMMEDIATE ones wait in turn.
# synchronous=FULL costs 0.2 ms a commit and loses nothing at a power cut.
_SQLITE_OPTIONS = {
    "timeout": 20,
    "transaction_mode": "IMMEDIATE",
    "init_command": (
        "PRAGMA journal_mode=WAL; PRAGMA synchronous=FULL; PRAGMA foreign_keys=ON; "
        "PRAGMA busy_timeout=20000; PRAGMA recursive_triggers=ON; PRAGMA temp_store=MEMORY; "
        "PRAGMA cache_size=-20000;"
    ),
}


def _database(url: str) -> dict[str, object]:
    if not url:
        return {
            "ENGINE": "django.db.backends.sqlite3",
            "NAME": DATA_DIR / "bylittle.sqlite3",
            "OPTIONS": _SQLITE_OPTIONS,
        }
    parts = urlparse(url)
    return {
        "ENGINE": "django.db.backends.postgresql",
        "NAME": unquote(parts.path.lstrip("/")),
        "USER": unquote(parts.username or ""),
        "PASSWORD": unquote(parts.password or ""),
        "HOST": parts.hostname or "",
        "PORT": str(parts.port or ""),
        "CONN_MAX_AGE": 60,
    }


DATABASES = {"default": _database(os.environ.get("DATABASE_URL", ""))}
DEFAULT_AUTO_FIELD = "django.db.models.BigAutoField"

AUTH_USER_MODEL = "people.Person"
LOGIN_URL = "sign_in"
LOGIN_REDIRECT_URL = "this_week"
LOGOUT_REDIRECT_URL = "sign_in"
AUTH_PASSWORD_VALIDATORS = [
    {"NAME": "django.contrib.auth.password_validation.UserAttributeSimilarityValidator"},
    {"NAME": "django.contrib.auth.password_validation.MinimumLengthValidator", "OPTIONS": {"min_length": 10}},
    {"NAME": "django.contrib.auth.password_validation.CommonPasswordValidator"},
]

LANGUAGE_CODE = "en-gb"
USE_I18N = True
USE_TZ = True


def _local_zone() -> str:
    """The machine's own zone: a practice day is a local calendar date."""
    if told := os.environ.get("BYLITTLE_TIME_ZONE") or os.environ.get("TZ"):
        return told
    link = Path("/etc/localtime")
    target = str(link.resolve()) if link.exists() else ""
    return target.partition("zoneinfo/")[2] or "UTC"


TIME_ZONE = _local_zone()

STATIC_URL = "static/"
STATICFILES_DIRS = [Path(__file__).parent / "static"]
WHITENOISE_USE_FINDERS = True
WHITENOISE_AUTOREFRESH = False

SESSION_COOKIE_AGE = 60 * 60 * 10
SESSION_SAVE_EVERY_REQUEST = True
SESSION_COOKIE_HTTPONLY = True
SESSION_COOKIE_SAMESITE = "Lax"
SESSION_COOKIE_SECURE = SERVED_OVER_HTTPS
CSRF_COOKIE_SECURE = SERVED_OVER_HTTPS
CSRF_FAILURE_VIEW = "bylittle.web.people.views.form_too_old"
SECURE_SSL_REDIRECT = SERVED_OVER_HTTPS
SECURE_HSTS_SECONDS = 31_536_000 if SERVED_OVER_HTTPS else 0
SECURE_PROXY_SSL_HEADER = ("HTTP_X_FORWARDED_PROTO", "https") if SERVED_OVER_HTTPS else None
SECURE_REFERRER_POLICY = "same-origin"
X_FRAME_OPTIONS = "DENY"

CONTENT_SECURITY_POLICY = {
    "DIRECTIVES": {
        "default-src": ["'self'"],
        "script-src": ["'self'"],
        "style-src": ["'self'"],
        "img-src": ["'self'", "data:", "blob:"],
        "object-src": ["'none'"],
        "base-uri": ["'none'"],
        "form-action": ["'self'"],
        "frame-ancestors": ["'none'"],
    }
}

DATA_UPLOAD_MAX_MEMORY_SIZE = 5_000_000

# Photos and clips that are being edited are uncovered: they are dropped when kept or thrown away, and after
# this many hours in any case. They lie in `working` of the data directory; leave it out of backups.
WORKING_COPY_HOURS = float(os.environ.get("BYLITTLE_WORKING_COPY_HOURS", "12"))
LOGGING = {
    "version": 1,
    "disable_existing_loggers": False,
    "handlers": {"console": {"class": "logging.StreamHandler"}},
    "root": {"handlers": ["console"], "level": "WARNING"},
}
