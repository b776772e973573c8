from __future__ import annotations

from django.urls import path

from bylittle.web.practice import coaching_views, views

urlpatterns = [
    path("children/<int:child_id>/visit", views.visit_new, name="visit_new"),
    path("skills/<int:skill_id>/turn", views.turn_new, name="turn_new"),
    path("skills/<int:skill_id>/probe", views.probe_new, name="probe_new"),
    path("skills/<int:skill_id>/record", views.record, name="record"),
    path("skills/<int:skill_id>/coaching", coaching_views.check, name="coaching"),
    path("records/<int:record_id>/correct", views.record_correct, name="record_correct"),
    path("skills/<int:skill_id>/import", views.import_file, name="import_file"),
]
