"""Every page of coursework keeps to the content policy and to what readers need."""

import re

import pytest

from tests.coursework.test_access import TABLE, address

# Parts that pages load into themselves.
FRAGMENTS = {"position-read", "skyline-editor", "drill-conflicts", "planned-lesson-conflicts"}
# Files, and addresses that only send one on.
NO_PAGES = {"second-step-codes", "course-sample", "course-export", "lesson-shift", "exercise-shift"}


@pytest.fixture(params=list(TABLE))
def response(request, client, world):
    client.force_login(world.lead)
    return client.get(address(request.param, world))


def test_no_page_has_inline_styles_or_scripts(response):
    content = response.content.decode()
    assert not re.search(r"<[^>]+\sstyle\s*=", content)
    assert "<style" not in content
    assert not re.search(r"<script(?![^>]*\ssrc=)", content)
    assert not re.search(r"<[^>]+\son[a-z]+\s*=", content)


def test_every_page_sends_the_strict_policy(response):
    policy = response.headers["Content-Security-Policy"]
    assert "default-src 'none'" in policy
    assert "unsafe" not in policy


@pytest.mark.parametrize(
    "response", [name for name in TABLE if name not in FRAGMENTS | NO_PAGES], indirect=True
)
def test_every_page_has_a_title_of_its_own_and_one_heading(response):
    content = response.content.decode()
    assert re.search(r"<title>\s*\S.* · Plumbshadow</title>", content)
    assert len(re.findall(r"<h1[ >]", content)) == 1


def test_nothing_on_a_page_comes_from_elsewhere(response):
    sources = re.findall(r'(?:src|href|action)="(https?:)?//', response.content.decode())
    assert sources == []
