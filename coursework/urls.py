"""Addresses of the site."""

from django.contrib.auth.views import LogoutView
from django.urls import include, path

from coursework.views import account, home

urlpatterns = [
    path("sign-in/", account.SignIn.as_view(), name="sign-in"),
    path("sign-out/", LogoutView.as_view(), name="sign-out"),
    path("", home.home, name="home"),
    path("", include("assessments.urls")),
]
