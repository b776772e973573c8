from __future__ import annotations

from django.contrib.auth.views import LogoutView
from django.urls import path

from bylittle.web.people import views

urlpatterns = [
    path("ready", views.ready, name="ready"),
    path("sign-in", views.SignIn.as_view(), name="sign_in"),
    path("sign-out", LogoutView.as_view(), name="sign_out"),
    path("first-account/<str:key>", views.first_account, name="first_account"),
    path("children/new", views.child_new, name="child_new"),
    path("children/<int:child_id>/talk", views.talk, name="talk"),
    path("children/<int:child_id>/edit", views.child_edit, name="child_edit"),
]
