"""Pictures of every page of the demonstration that a role reaches by links, to be looked at.

`.venv/bin/python -m tests.screenshots FOLDER [--of jadwiga,zofia] [--language fr] [--only drill]`
writes for every kind of page one picture at a phone's width, the three lights side by side, and one
at a desk's, the bright one above the other two; long pages in several parts. `index.txt` in the
folder tells which picture shows which address, and which kinds of page nobody reached.
"""

import argparse
import io
import os
import subprocess
import sys
import tempfile
from collections import deque
from html.parser import HTMLParser
from pathlib import Path
from urllib.parse import urldefrag, urljoin, urlsplit

from PIL import Image
from playwright.sync_api import sync_playwright

from tests.engines.servers import ROOT, Site

PEOPLE = ["", "jadwiga", "leonie", "zofia", "maelle"]
PASSWORD = "north by shadow 26"
LIGHTS = ["bright", "dark", "red"]
PHONE, DESK = {"width": 390, "height": 844}, {"width": 1280, "height": 900}
# The height of a part of a long page.
PHONE_PART, DESK_PART = 1700, 1250
# Addresses that no page links to: what is said where something went wrong.
FAULTS = ["/nothing-here/", "/courses/999999/"]


class _Links(HTMLParser):
    def __init__(self) -> None:
        super().__init__()
        self.found: list[str] = []

    def handle_starttag(self, tag, attributes):
        named = dict(attributes)
        if tag == "a" and named.get("href") and "download" not in named:
            self.found.append(named["href"])


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("folder", type=Path)
    parser.add_argument("--of", default=",".join(PEOPLE), help="sign-in names; empty: nobody")
    parser.add_argument("--language", default="en")
    parser.add_argument("--only", default="", help="kinds of page whose name has this in it")
    parser.add_argument("--lights", default=",".join(LIGHTS))
    wanted = parser.parse_args()
    wanted.folder.mkdir(parents=True, exist_ok=True)
    with tempfile.TemporaryDirectory(prefix="plumbshadow-screenshots-") as data:
        os.environ |= {"PLUMBSHADOW_DATA": data, "PLUMBSHADOW_HTTPS": "no"}
        os.environ["DJANGO_SETTINGS_MODULE"] = "coursework.settings"
        site = Site(Path(data), dict(os.environ))
        subprocess.run(
            [sys.executable, "manage.py", "demo", "--no-serve", "-v0"], cwd=ROOT, check=True
        )
        try:
            _take_all(site.serve().address, wanted)
        finally:
            site.stop()


def _take_all(address: str, wanted: argparse.Namespace) -> None:
    import django

    django.setup()
    seen: dict[str, str] = {}
    with sync_playwright() as driver:
        browser = driver.chromium.launch(
            executable_path="/usr/bin/chromium", args=["--no-sandbox", "--disable-gpu"]
        )
        for person in wanted.of.split(","):
            context = browser.new_context(base_url=address, reduced_motion="reduce")
            if person:
                page = context.new_page()
                page.goto("/sign-in/")
                page.fill("[name=username]", person)
                page.fill("[name=password]", PASSWORD)
                page.press("[name=password]", "Enter")
                page.wait_for_url(lambda url: "/sign-in/" not in url)
                page.close()
            _set(context, address, "language", wanted.language)
            for kind, path in _reached(context, address).items():
                label = f"{kind}--{person or 'nobody'}"
                # The same page for another role is taken again for students only, and first pages.
                if kind in seen.values() and person not in ("", "zofia") and kind != "home":
                    continue
                if wanted.only in kind:
                    _take(context, address, path, wanted.folder / label, wanted.lights.split(","))
                    seen[label] = kind
                    print(f"{label}\t{path}", flush=True)
            context.close()
        browser.close()
    _note(wanted.folder, seen)


def _set(context, address: str, name: str, value: str) -> None:
    from django.conf import settings

    name = settings.LANGUAGE_COOKIE_NAME if name == "language" else name
    context.add_cookies([{"name": name, "value": value, "url": address}])


def _reached(context, address: str) -> dict[str, str]:
    """The first address of each kind of page that links lead to from the first page."""
    from django.urls import Resolver404, resolve

    found: dict[str, str] = {}
    tried: set[str] = set()
    visits: dict[str, int] = {}
    waiting = deque(["/", *FAULTS])
    while waiting:
        path = waiting.popleft()
        try:
            kind = resolve(urlsplit(path).path).url_name or path.strip("/").replace("/", "-")
        except Resolver404:
            kind = "not-found"
        if path in tried or visits.get(kind, 0) >= 6 or "sign-out" in kind:
            continue
        tried.add(path)
        visits[kind] = visits.get(kind, 0) + 1
        answer = context.request.get(urljoin(address, path), max_redirects=0, timeout=60_000)
        if answer.status in (301, 302):
            waiting.append(_path(answer.headers["location"], address, path) or "/")
            continue
        if not answer.headers.get("content-type", "").startswith("text/html"):
            continue
        found.setdefault(kind if answer.status == 200 else f"{kind}-{answer.status}", path)
        links = _Links()
        links.feed(answer.text())
        waiting.extend(filter(None, (_path(each, address, path) for each in links.found)))
    return found


def _path(link: str, address: str, of: str) -> str | None:
    whole = urldefrag(urljoin(urljoin(address, of), link)).url
    return whole.removeprefix(address) if whole.startswith(f"{address}/") else None


def _take(context, address: str, path: str, name: Path, lights: list[str]) -> None:
    narrow, wide = [], []
    page = context.new_page()
    for light in lights:
        _set(context, address, "light", light)
        for size, shots in ((PHONE, narrow), (DESK, wide)):
            page.set_viewport_size(size)
            page.goto(urljoin(address, path), wait_until="load", timeout=60_000)
            page.wait_for_timeout(150)
            shots.append(Image.open(io.BytesIO(page.screenshot(full_page=True))).convert("RGB"))
    page.close()
    side_by_side = _beside(narrow)
    _save_parts(side_by_side, f"{name}--phone", PHONE_PART)
    _save_parts(wide[0], f"{name}--desk", DESK_PART)
    if len(wide) > 1:
        others = _beside(wide[1:])
        half = others.resize((others.width * 5 // 8, others.height * 5 // 8), Image.LANCZOS)
        _save_parts(half, f"{name}--desk-dim", DESK_PART)


def _beside(shots: list[Image.Image]) -> Image.Image:
    whole = Image.new(
        "RGB", (sum(each.width + 6 for each in shots), max(each.height for each in shots)), "#888"
    )
    left = 0
    for each in shots:
        whole.paste(each, (left, 0))
        left += each.width + 6
    return whole


def _save_parts(picture: Image.Image, name: str, height: int) -> None:
    for number, top in enumerate(range(0, picture.height, height), 1):
        part = picture.crop((0, top, picture.width, min(top + height, picture.height)))
        part.save(f"{name}-{number}.png")


def _note(folder: Path, seen: dict[str, str]) -> None:
    from django.urls import get_resolver

    kinds = {str(name) for name in get_resolver().reverse_dict if isinstance(name, str)}
    missed = sorted(kinds - set(seen.values()))
    lines = [*sorted(seen), "", "Reached by nobody (parts, files, answers to forms, or no link):"]
    (folder / "index.txt").write_text("\n".join([*lines, *missed]) + "\n", encoding="utf-8")


if __name__ == "__main__":
    main()
