from __future__ import annotations

from django.urls import path

from bylittle.web.plans import views

urlpatterns = [
    path("plans/<int:plan_id>/", views.plan, name="plan"),
    path("plans/<int:plan_id>/sign", views.plan_gate, name="plan_gate"),
    path("plans/<int:plan_id>/drop", views.draft_drop, name="draft_drop"),
    path("plans/<int:plan_id>/print/<slug:kind>-<slug:paper>.pdf", views.plan_page, name="plan_page"),
    path("skills/<int:skill_id>/goal/rate", views.goal_rate, name="goal_rate"),
    path("skills/<int:skill_id>/goal", views.goal, name="goal"),
]
