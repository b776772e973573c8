from __future__ import annotations

from django.apps import AppConfig


class PlansConfig(AppConfig):
    name = "bylittle.web.plans"
    label = "plans"
