from __future__ import annotations

from django.apps import AppConfig


class CaseloadConfig(AppConfig):
    name = "bylittle.web.caseload"
    label = "caseload"
