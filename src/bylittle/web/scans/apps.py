from __future__ import annotations

from django.apps import AppConfig


class ScansConfig(AppConfig):
    name = "bylittle.web.scans"
    label = "scans"
