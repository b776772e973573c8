from __future__ import annotations

from django.apps import AppConfig


class PicturesConfig(AppConfig):
    name = "bylittle.web.pictures"
    label = "pictures"
