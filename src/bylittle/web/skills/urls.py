from __future__ import annotations

from django.urls import path

from bylittle.web.skills import (
    breakdown_views,
    parked_views,
    reading_views,
    screening_views,
    spoken_views,
    views,
)

urlpatterns = [
    path("children/<int:child_id>/skills/choose", views.skill_choose, name="skill_choose"),
    path("skills/<int:skill_id>/steps", views.skill_steps, name="skill_steps"),
    path("skills/<int:skill_id>/readiness", views.readiness, name="readiness"),
    path("skills/<int:skill_id>/breakdown", breakdown_views.finder, name="breakdown"),
    path("skills/<int:skill_id>/breakdown/use", breakdown_views.use, name="breakdown_use"),
    path("skills/<int:skill_id>/materials", screening_views.materials, name="materials"),
    path("materials/<int:screen_id>/leave-out", screening_views.leave_out, name="screen_leave_out"),
    path("skills/<int:skill_id>/said", spoken_views.said, name="said"),
    path("skills/<int:skill_id>/said/write", spoken_views.said_write, name="said_write"),
    path("skills/<int:skill_id>/said/agree", spoken_views.said_agree, name="said_agree"),
    path("skills/<int:skill_id>/said/note", spoken_views.said_note, name="said_note"),
    path("skills/<int:skill_id>/words/<slug:language>", views.skill_words, name="skill_words"),
    path("library/<slug:language>", reading_views.library_words, name="library_words"),
    path("library/<slug:language>/<slug:section>", reading_views.library_section, name="library_section"),
    path("children/<int:child_id>/parked", parked_views.parked, name="parked"),
    path("skills/<int:skill_id>/move", parked_views.skill_move, name="skill_move"),
    path("skills/<int:skill_id>/next", parked_views.skill_next, name="skill_next"),
    path("skills/<int:skill_id>/activate", views.skill_activate, name="skill_activate"),
    path("skills/<int:skill_id>/park", views.skill_park, name="skill_park"),
]
