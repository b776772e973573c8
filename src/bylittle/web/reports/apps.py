from __future__ import annotations

from django.apps import AppConfig


class ReportsConfig(AppConfig):
    name = "bylittle.web.reports"
    label = "reports"
