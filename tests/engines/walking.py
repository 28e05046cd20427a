"""A reader who signs in and follows the links of every page."""

from collections import deque
from collections.abc import Iterator
from dataclasses import dataclass
from html.parser import HTMLParser
from urllib.parse import urldefrag, urljoin, urlsplit

import requests
from django.urls import Resolver404, resolve

PASSWORD = "north by shadow 26"
"""That of everybody in the demonstration."""


@dataclass(frozen=True)
class Visit:
    """One address with its answer; `kind` is the name that its address has in the code."""

    kind: str
    path: str
    answer: requests.Response

    @property
    def is_page(self) -> bool:
        return self.answer.headers.get("Content-Type", "").startswith("text/html")


class Reader:
    """A session at a server; `username` is signed in by `sign_in`."""

    def __init__(self, address: str, username: str = "", password: str = PASSWORD):
        self.address = address
        self.username = username
        self.password = password
        self.session = requests.Session()

    def sign_in(self) -> bool:
        self.get("/sign-in/")
        fields = {
            "username": self.username,
            "password": self.password,
            "csrfmiddlewaretoken": self.session.cookies["csrftoken"],
        }
        page = urljoin(self.address, "/sign-in/")
        return self.session.post(page, fields, allow_redirects=False, timeout=60).status_code == 302

    def get(self, path: str) -> requests.Response:
        return self.session.get(urljoin(self.address, path), allow_redirects=False, timeout=60)

    def walk(self, *first: str, of_a_kind: int) -> Iterator[Visit]:
        """What links lead to, nearest first, at most so many addresses of each kind."""
        waiting, tried, visits = deque(["/", *first]), set(), {}
        while waiting:
            path = waiting.popleft()
            kind = _kind(path)
            if path in tried or visits.get(kind, 0) >= of_a_kind or kind == "sign-out":
                continue
            tried.add(path)
            visits[kind] = visits.get(kind, 0) + 1
            answer = self.get(path)
            visit = Visit(kind, path, answer)
            yield visit
            links = [answer.headers["Location"]] if answer.is_redirect else []
            if visit.is_page:
                links = _Links.of(answer.text)
            waiting.extend(filter(None, (self._path(link, path) for link in links)))

    def _path(self, link: str, of: str) -> str | None:
        whole = urldefrag(urljoin(urljoin(self.address, of), link)).url
        return whole.removeprefix(self.address) if whole.startswith(f"{self.address}/") else None


def _kind(path: str) -> str:
    try:
        return resolve(urlsplit(path).path).url_name or "unnamed"
    except Resolver404:
        return "not-found"


class _Links(HTMLParser):
    def __init__(self) -> None:
        super().__init__()
        self.found: list[str] = []

    @classmethod
    def of(cls, page: str) -> list[str]:
        links = cls()
        links.feed(page)
        return links.found

    def handle_starttag(self, tag, attributes):
        address = dict(attributes).get("href")
        if tag == "a" and address:
            self.found.append(address)
