from __future__ import annotations

from django.apps import AppConfig


class PracticeConfig(AppConfig):
    name = "bylittle.web.practice"
    label = "practice"
