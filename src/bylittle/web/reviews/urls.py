from __future__ import annotations

from django.urls import path

from bylittle.web.reviews import closing_views, plan_words, views

urlpatterns = [
    path("skills/<int:skill_id>/plan/start", views.plan_start, name="plan_start"),
    path("skills/<int:skill_id>/plan", views.plan_edit, name="plan_edit"),
    path("skills/<int:skill_id>/plan/what-if", views.plan_what_if, name="plan_what_if"),
    path("skills/<int:skill_id>/plan/words/<slug:words>", plan_words.plan_words, name="plan_words"),
    path("skills/<int:skill_id>/review", views.review, name="review"),
    path("skills/<int:skill_id>/history", views.history, name="history"),
    path("skills/<int:skill_id>/close", closing_views.skill_close, name="skill_close"),
    path("skills/<int:skill_id>/reopen", closing_views.skill_reopen, name="skill_reopen"),
    path("carry-over/<int:carryover_id>", views.carryover, name="carryover"),
    path("skills/<int:skill_id>/progress-<slug:paper>.pdf", views.summary_pdf, name="summary_pdf"),
]
