from __future__ import annotations

from django.urls import path

from bylittle.web.plans import views

urlpatterns = [
    path("plans/<int:plan_id>/", views.plan, name="plan"),
    path("plans/<int:plan_id>/sign", views.plan_gate, name="plan_gate"),
    path("plans/<int:plan_id>/drop", views.draft_drop, name="draft_drop"),
    path("plans/<int:plan_id>/print/<slug:kind>-<slug:paper>.pdf", views.plan_page, name="plan_page"),
    path("plans/<int:plan_id>/look/<slug:kind>-<slug:paper>", views.plan_look, name="plan_look"),
    path(
        "plans/<int:plan_id>/look/<slug:kind>-<slug:paper>-<int:number>.png",
        views.plan_look_page,
        name="plan_look_page",
    ),
    path("plans/<int:plan_id>/copy", views.plan_copy, name="plan_copy"),
    path("plans/<int:plan_id>/pictures", views.plan_pictures, name="plan_pictures"),
    path("skills/<int:skill_id>/newest-plan", views.plan_newest, name="plan_newest"),
    path("skills/<int:skill_id>/goal/rate", views.goal_rate, name="goal_rate"),
    path("skills/<int:skill_id>/goal", views.goal, name="goal"),
]
