from __future__ import annotations

from django.urls import path

from bylittle.web.scans import sending, views

urlpatterns = [
    path("sheets", sending.sheets, name="sheets"),
    path("sheets/keep", sending.sheets_keep, name="sheets_keep"),
    path("sheets/<int:scan_id>/", views.sheet, name="sheet"),
    path("sheets/<int:scan_id>/picture.jpg", views.sheet_picture, name="sheet_picture"),
    path("sheets/<int:scan_id>/aside", views.sheet_aside, name="sheet_aside"),
    path("sheets/<int:scan_id>/undo", views.sheet_undo, name="sheet_undo"),
    path("sheets/<int:scan_id>/move", views.sheet_move, name="sheet_move"),
]
