"""Pictures of every page of the demonstration that a role reaches by links, to be looked at.

`.venv/bin/python -m tests.screenshots FOLDER [--of jadwiga,zofia] [--language fr] [--only drill]`
writes for every kind of page one picture at a phone's width, the three lights side by side, and one
at a desk's, the bright one above the other two; long pages in several parts. `index.txt` in the
folder tells which picture shows which address, and which kinds of page nobody reached.
"""

import argparse
import io
import os
import sys
import tempfile
from pathlib import Path
from urllib.parse import urljoin

from PIL import Image
from playwright.sync_api import sync_playwright

from tests.engines.servers import site
from tests.engines.walking import Reader

PEOPLE = ["", "jadwiga", "leonie", "zofia", "maelle"]
LIGHTS = ["bright", "dark", "red"]
PHONE, DESK = {"width": 390, "height": 844}, {"width": 1280, "height": 900}
# The height of a part of a long page.
PHONE_PART, DESK_PART = 1700, 1250
# Addresses that no page links to: what is said where something went wrong.
FAULTS = ["/nothing-here/", "/courses/999999/"]


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("folder", type=Path)
    parser.add_argument("--of", default=",".join(PEOPLE), help="sign-in names; empty: nobody")
    parser.add_argument("--language", default="en")
    parser.add_argument("--only", default="", help="kinds of page whose name has this in it")
    parser.add_argument("--lights", default=",".join(LIGHTS))
    wanted = parser.parse_args()
    wanted.folder.mkdir(parents=True, exist_ok=True)
    with (
        tempfile.TemporaryDirectory(prefix="plumbshadow-screenshots-") as folder,
        site("sqlite", Path(folder)) as made,
    ):
        done = made.manage("demo", "--no-serve")
        if done.returncode:
            sys.exit(done.stderr)
        os.environ |= made.environment
        _take_all(made.serve().address, wanted)


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
            reader = Reader(address, person)
            if person and not reader.sign_in():
                sys.exit(f"{person} cannot sign in.")
            for name, value in reader.session.cookies.items():
                context.add_cookies([{"name": name, "value": value, "url": address}])
            _set(context, address, "language", wanted.language)
            for kind, path in _reached(reader).items():
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


def _reached(reader: Reader) -> dict[str, str]:
    """The first address of each kind of page that links lead to from the first page."""
    found: dict[str, str] = {}
    for visit in reader.walk(*FAULTS, of_a_kind=6):
        if visit.is_page and not visit.answer.is_redirect:
            status = visit.answer.status_code
            found.setdefault(visit.kind if status == 200 else f"{visit.kind}-{status}", visit.path)
    return found


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
