"""Addresses of the site."""

urlpatterns = []
