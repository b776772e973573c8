from __future__ import annotations

from django.urls import path

from bylittle.web.pictures import clip_views, tray_views, views

urlpatterns = [
    path("skills/<int:skill_id>/pictures", views.skill_pictures, name="skill_pictures"),
    path("skills/<int:skill_id>/pictures/clip", views.clip_new, name="clip_new"),
    path("skills/<int:skill_id>/pictures/thing", views.picture_thing, name="picture_thing"),
    path("children/<int:child_id>/pictures", views.child_pictures, name="child_pictures"),
    path("pictures/<int:picture_id>.jpg", views.picture_file, name="picture_file"),
    path("pictures/<int:picture_id>/delete", views.picture_delete, name="picture_delete"),
    path("consents/<int:consent_id>", views.consent, name="consent"),
    path("consents/<int:consent_id>/clear", views.consent_clear, name="consent_clear"),
    path("consents/<int:consent_id>/withdraw", views.consent_withdraw, name="consent_withdraw"),
    path("trays/<int:tray_id>/", tray_views.tray, name="picture_tray"),
    path("trays/<int:tray_id>/more", tray_views.tray_more, name="picture_tray_more"),
    path("trays/<int:tray_id>/drop", tray_views.tray_drop, name="picture_tray_drop"),
    path("trays/<int:tray_id>/clip", clip_views.clip, name="picture_clip"),
    path("trays/<int:tray_id>/clip/play", clip_views.clip_file, name="picture_clip_file"),
    path("trays/photos/<int:photo_id>/", tray_views.edit, name="picture_edit"),
    path("trays/photos/<int:photo_id>/seen.jpg", tray_views.preview, name="picture_preview"),
    path("trays/photos/<int:photo_id>/whole.jpg", tray_views.whole, name="picture_whole"),
]
