"""What is sent is limited in size."""

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.urls import reverse

from tests import builders

pytestmark = pytest.mark.django_db


def send(client, settings, more: int):
    settings.LARGEST_REQUEST_BYTES = 1_000_000
    client.force_login(builders.administrator())
    body = SimpleUploadedFile("course.json", b" " * (1_000_000 + more), "application/json")
    return client.post(reverse("course-import"), {"file": body})


def test_a_request_above_the_limit_is_refused(client, settings):
    assert send(client, settings, 1).status_code == 400


def test_a_request_within_it_is_read(client, settings):
    assert send(client, settings, -1_000).status_code == 200
