"""The site's addresses and one of a plain list: one query, 25 rows, the same base template."""

from django.http import HttpRequest, HttpResponse
from django.template import engines
from django.urls import path

from coursework.models import Person
from coursework.urls import handler500
from coursework.urls import urlpatterns as addresses

_PAGE = """{% extends "app/page.html" %}
{% block title %}Plain rows{% endblock %}{% block heading %}Plain rows{% endblock %}
{% block content %}<ul>{% for row in rows %}<li>{{ row.name }}</li>{% endfor %}</ul>{% endblock %}
"""


def plain_rows(request: HttpRequest) -> HttpResponse:
    rows = Person.objects.order_by("name", "id")[:25]
    page = engines["django"].from_string(_PAGE)
    return HttpResponse(page.render({"rows": rows}, request))


urlpatterns = [*addresses, path("plain-rows/", plain_rows)]
__all__ = ["handler500", "urlpatterns"]
