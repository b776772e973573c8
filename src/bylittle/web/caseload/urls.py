from __future__ import annotations

from django.urls import path

from bylittle.web.caseload import views

urlpatterns = [
    path("", views.this_week, name="this_week"),
    path("children/<int:child_id>/", views.child, name="child"),
]
