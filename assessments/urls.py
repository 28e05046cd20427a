"""Addresses of attempts and sheets."""

urlpatterns = []
