from __future__ import annotations

from django.urls import path

from bylittle.web.reports import views

urlpatterns = [
    path("children/<int:child_id>/reports", views.reports, name="reports"),
    path("children/<int:child_id>/export/<slug:form>", views.export, name="export"),
    path("children/take-in", views.archive_in, name="archive_in"),
    path("reports/<int:report_id>/", views.report, name="report"),
    path("reports/<int:report_id>/file.<slug:ending>", views.report_file, name="report_file"),
    path("reports/<int:report_id>/drop", views.report_drop, name="report_drop"),
    path("skills/<int:skill_id>/agreement", views.agree, name="agree"),
]
