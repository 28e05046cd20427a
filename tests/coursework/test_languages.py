"""The second language: whole, with every placeholder, and never among the numbers of a page."""

import re
from html.parser import HTMLParser

import polib
import pytest
from django.conf import settings
from django.core.management import call_command
from django.test import Client
from django.urls import reverse

from tests import builders
from tests.assessments import test_access as of_assessments
from tests.assessments.certification import test_access as of_certification
from tests.coursework import made
from tests.coursework import test_access as of_coursework

CATALOGUE = settings.LOCALE_PATHS[0] / "fr" / "LC_MESSAGES" / "django.po"
PLACEHOLDER = re.compile(r"%\(\w+\)[a-z]|%[sd]|%\(\w+\)\.\d+f|\{\w*\}")
PARTS = {
    "coursework": (of_coursework, made.one_of_everything),
    "results": (of_assessments, of_assessments.one_of_everything),
    "certifications": (of_certification, of_certification.one_of_everything),
}
# What scripts, drawings and forms read as numbers; words of people stand elsewhere.
NUMBERS = re.compile(r"[\sMmLlHhVvCcSsQqAaZz0-9.,+\-eE%()]*\d[\sMmLlHhVvCcSsQqAaZz0-9.,+\-eE%()]*")
NUMBER = re.compile(r"-?\d+(\.\d+)?")
# A page makes keys anew each time; one without b, d and f would look like a path of a drawing.
KEY = re.compile(r"[0-9a-f]{8}(-[0-9a-f]{4}){3}-[0-9a-f]{12}")
WORDS = {"title", "aria-label", "aria-description", "alt", "placeholder", "content"}


@pytest.fixture(scope="module")
def catalogue():
    return polib.pofile(str(CATALOGUE))


def test_every_text_is_translated(catalogue):
    missing = [entry.msgid for entry in catalogue if not entry.translated() or entry.fuzzy]
    assert missing == []


def test_every_placeholder_is_kept(catalogue):
    wrong = []
    for entry in catalogue:
        forms = list(entry.msgstr_plural.values()) or [entry.msgstr]
        wanted = set(PLACEHOLDER.findall(entry.msgid_plural or entry.msgid))
        for form in forms:
            found = set(PLACEHOLDER.findall(form))
            if found != wanted and not (entry.msgid_plural and found <= wanted):
                wrong.append((entry.msgid, form))
    assert wrong == []


def test_signs_that_french_sets_apart_never_begin_a_line(catalogue):
    """A no-break space stands before them (typographic practice of French, no source)."""
    said = [form for entry in catalogue for form in (entry.msgstr, *entry.msgstr_plural.values())]
    assert [form for form in said if re.search(r" [:;?!»]|« ", form)] == []


def test_the_catalogue_holds_every_text_of_the_site(catalogue, settings, tmp_path):
    settings.LOCALE_PATHS = [tmp_path]
    call_command("makemessages", locale=["fr"], no_location=True, ignore_patterns=[
        ".venv", "tests", "var"], verbosity=0)  # fmt: skip
    found = polib.pofile(str(tmp_path / "fr" / "LC_MESSAGES" / "django.po"))
    ours = {(entry.msgctxt, entry.msgid, entry.msgid_plural) for entry in catalogue}
    missing = [
        entry.msgid
        for entry in found
        if (entry.msgctxt, entry.msgid, entry.msgid_plural) not in ours
    ]
    assert missing == []


class _Attributes(HTMLParser):
    """Every attribute that holds numbers: how it is written, whatever the numbers are.

    Labels of another length move parts of a drawing.
    """

    def __init__(self):
        super().__init__()
        self.found = []

    def handle_starttag(self, tag, attrs):
        for name, value in attrs:
            if name in WORDS or not value or KEY.fullmatch(value):
                continue
            if NUMBERS.fullmatch(value):
                self.found.append((tag, name, NUMBER.sub("0", value)))


def numbers_of(answer) -> list[tuple[str, str, str]]:
    reader = _Attributes()
    reader.feed(answer.content.decode())
    return reader.found


def test_a_key_is_none_of_the_numbers_however_it_falls_out():
    reader = _Attributes()
    reader.feed('<input value="0aa0c00a-0e00-4c00-8e0a-000000000000"><path d="M0 0l1 1">')
    assert [found[:2] for found in reader.found] == [("path", "d")]


def test_texts_are_marked_by_names_that_the_search_for_texts_knows():
    """It knows `_` and the functions' own names; under another a text would stay English."""
    root = settings.BASE_DIR
    marked = [
        (path.name, found)
        for part in ("coursework", "assessments")
        for path in sorted((root / part).rglob("*.py"))
        for found in re.findall(r"\b\w*gettext\w* as (\w+)", path.read_text(encoding="utf-8"))
    ]
    assert len(marked) > 50
    assert [one for one in marked if one[1] != "_"] == []


@pytest.mark.django_db
@pytest.mark.parametrize("part", PARTS)
def test_numbers_that_programs_read_are_written_alike_in_both_languages(part):
    table, build = PARTS[part]
    world = build()
    client = Client()
    client.force_login(world.lead)
    different, pages = [], 0
    for name in table.TABLE:
        address = table.address(name, world)
        english, french = (
            client.get(address, headers={"accept-language": code}) for code in ("en-gb", "fr")
        )
        if english.status_code == 200 and english.headers["Content-Type"].startswith("text/html"):
            pages += 1
            assert 'lang="fr"' in french.content.decode() or "<html" not in french.content.decode()
            # Ways of writing, not how many: longer words take more lines of a drawing.
            if both := set(numbers_of(english)) ^ set(numbers_of(french)):
                different.append((name, sorted(both)[:4]))
    assert pages > 10
    assert different == []


@pytest.mark.django_db
def test_a_language_that_is_chosen_stays_and_leads_back(client):
    client.force_login(builders.lead(builders.cohort()))
    sent = {"language": "fr", "next": reverse("site-list")}
    assert client.post(reverse("choose-language"), sent).url == reverse("site-list")
    assert 'lang="fr"' in client.get(reverse("home")).content.decode()


@pytest.mark.django_db
@pytest.mark.parametrize("language", ["", "de", "../fr", "\x00"])
def test_a_language_that_there_is_not_is_refused(client, language):
    assert client.post(reverse("choose-language"), {"language": language}).status_code == 400


@pytest.mark.django_db
def test_choosing_a_language_leads_to_no_other_site(client):
    sent = {"language": "fr", "next": "https://elsewhere.example/"}
    assert client.post(reverse("choose-language"), sent).url == reverse("home")


@pytest.mark.django_db
def test_a_certificate_s_bytes_do_not_depend_on_the_reader_s_language():
    world = of_certification.one_of_everything()
    client = Client()
    client.force_login(world.lead)
    address = reverse("packet-credential", args=[world.packet.pk])
    answers = [
        client.get(address, headers={"accept-language": code}).content for code in ("en-gb", "fr")
    ]
    assert answers[0].split(b".")[:2] == answers[1].split(b".")[:2]
