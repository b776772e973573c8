"""All addresses of the web application."""

from __future__ import annotations

from django.urls import include, path

urlpatterns = [
    path("", include("bylittle.web.caseload.urls")),
    path("", include("bylittle.web.people.urls")),
    path("", include("bylittle.web.skills.urls")),
    path("", include("bylittle.web.pictures.urls")),
    path("", include("bylittle.web.plans.urls")),
    path("", include("bylittle.web.practice.urls")),
    path("", include("bylittle.web.reviews.urls")),
    path("", include("bylittle.web.reports.urls")),
    path("", include("bylittle.web.scans.urls")),
]
