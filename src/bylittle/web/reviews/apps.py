from __future__ import annotations

from django.apps import AppConfig


class ReviewsConfig(AppConfig):
    name = "bylittle.web.reviews"
    label = "reviews"
