"""Every address against people of another school, and every form against rubbish.

The tables of roles say what each role gets; here nothing of one school may reach another, no
rubbish may end in a fault of the server, and what is refused may leave no row behind.
"""

import json
import os

import pytest
from django.apps import apps
from django.core.cache import cache
from django.core.files.uploadedfile import SimpleUploadedFile
from django.db import models, transaction
from django.forms import BaseForm, BaseFormSet, ChoiceField, FileField
from django.test import Client
from django.urls import reverse
from django_filters import FilterSet
from hypothesis import HealthCheck, Phase, given, settings
from hypothesis import strategies as st

from coursework.models import School
from coursework.narrowing import Narrowing
from tests.assessments import test_access as of_assessments
from tests.assessments.certification import test_access as of_certification
from tests.assessments.field.messages import crew
from tests.coursework import made
from tests.coursework import test_access as of_coursework

pytestmark = pytest.mark.django_db

EXAMPLES = int(os.environ.get("PLUMBSHADOW_SWEEP_EXAMPLES", "6"))
# Which rubbish it was is told as it was drawn: a page is too slow to look for a shorter one.
QUICK = settings(
    max_examples=EXAMPLES,
    phases=[Phase.generate],
    suppress_health_check=list(HealthCheck),
    report_multiple_bugs=False,
)
MARK = "Xylqvbrenk"
PARTS = {
    "coursework": (of_coursework, made.one_of_everything),
    "results": (of_assessments, of_assessments.one_of_everything),
    "certifications": (of_certification, of_certification.one_of_everything),
}
# Every address with the part that builds its world; those who may do most open its form.
PLACES = [(part, name) for part, (table, _build) in PARTS.items() for name in table.TABLE]
PUBLIC = {"certificate-check-number"}
# Pages to be read, sheets, files, parts of pages, and ways that only lead on; that the grid's rows
# are forms of their own is seen to in tests/assessments/views/test_grid.py.
WITHOUT_A_FORM = {
    "home", "second-step-codes", "course-detail", "course-export", "course-sample",
    "lesson-detail", "lesson-shift", "exercise-detail", "exercise-shift", "site-detail",
    "position-read", "skyline-editor", "instrument-detail", "cohort-detail", "cohort-move",
    "cohort-lessons", "person-detail", "person-export", "invitation-list", "drill-detail",
    "incident-detail", "calendar", "lead-notes", "headcount-sheet", "correction-list",
    "attempt-detail", "attempt-again", "attempt-sheet", "attempt-grid", "log-sheet",
    "emergency-card", "blank-sheet", "exercise-sheet", "record", "record-sheet", "manual",
    "manual-page", "manual-glossary", "manual-pdf", "run-sheet", "lesson-plan",
    "incident-report", "incident-log", "planner-map", "planner-values", "planner-sheet",
    "sun-card", "certification-list", "certification-detail", "standing", "packet-detail",
    "packet-pdf", "packet-credential", "expiry-calendar", "packet-run", "packet-run-zip",
    "packet-run-print", "status-list", "plan-choose", "planned-lesson-detail",
}  # fmt: skip
READABLE = ("text/", "application/json")
SPEAKING = {"name", "title", "text", "what", "outline", "detail", "note", "place"}


def marked(world) -> None:
    """Puts a word that stands nowhere else into every name and text of the one school."""
    School.objects.exclude(pk=world.stranger.school_id).update(name=MARK)
    for role, thing in vars(world).items():
        if role == "stranger" or not isinstance(thing, models.Model):
            continue
        for field in thing._meta.fields:
            texts = isinstance(field, models.CharField | models.TextField)
            if texts and field.name in {
                "name",
                "title",
                "text",
                "what",
                "outline",
                "detail",
                "note",
                "place",
            }:
                type(thing).objects.filter(pk=thing.pk).update(**{field.name: f"{MARK} {role}"})


@pytest.mark.parametrize("part", PARTS)
@pytest.mark.parametrize("who", ["stranger", "nobody"])
def test_nothing_of_a_school_reaches_anyone_outside_it(part, who):
    table, build = PARTS[part]
    world = build()
    marked(world)
    client = Client()
    if who == "stranger":
        client.force_login(world.stranger)
    found = []
    for name in table.TABLE:
        answer = client.get(table.address(name, world))
        assert answer.status_code < 500, name
        if answer.headers["Content-Type"].startswith(READABLE):
            # Whoever has a certificate's number learns who issued it, and not to whom.
            mark = f"{MARK} student" if name in PUBLIC else MARK
            if mark in answer.content.decode():
                found.append(name)
    assert found == []


def test_the_mark_is_found_where_someone_of_the_school_looks():
    world = made.one_of_everything()
    marked(world)
    client = Client()
    client.force_login(world.administrator)
    for name in ("course-detail", "site-detail", "person-list"):
        assert MARK in client.get(of_coursework.address(name, world)).content.decode()


TEXTS = st.one_of(
    st.text(max_size=40),
    st.sampled_from(
        [
            "NaN", "inf", "-1e308", "1e400", "-0", "0x10", "1_000", "99999999999999999999",
            "2026-02-30", "0000-00-00", "9999-12-31", "24:00", "10:61:00", "٣٤", "12,5", "90°N",
            "31TDF1234", "\x00", "\U0001f31e", "<script>alert(1)</script>", "=1+1", "x" * 20_000,
            "../../etc/passwd", "'; DROP TABLE--", "{% now %}", "\r\n\r\n", "0001-01-01T00:00",
        ]
    ),
    st.integers(-(10**12), 10**12).map(str),
    st.floats().map(str),
)  # fmt: skip
TABLES = st.lists(st.lists(TEXTS, max_size=6).map(",".join), max_size=6).map("\n".join)
BODIES = st.one_of(
    st.binary(max_size=200),
    TABLES.map(lambda text: text.encode("utf-8", "replace")),
    st.sampled_from([b"[]", b"{}", b"null", b'{"format": 1}', b"\xff\xfe", b"[" * 50_000]),
)
FILES = st.builds(SimpleUploadedFile, st.sampled_from(["a.csv", "b.json", "../c.exe"]), BODIES)
KINDS = st.sampled_from(["rubbish", "kept", "left out", "rubbish", "many"])
SEVERAL = st.lists(TEXTS, max_size=3)


def forms_of(answer) -> list[BaseForm]:
    """The forms that a page shows, wherever its view put them."""
    found = []
    for layer in answer.context or []:
        for value in layer.flatten().values() if hasattr(layer, "flatten") else layer.values():
            if isinstance(value, FilterSet | Narrowing):
                value = value.form
            for one in value if isinstance(value, list | tuple | BaseFormSet) else [value]:
                if isinstance(one, BaseForm) and not any(one is other for other in found):
                    found.append(one)
    return found


def sent(draw, forms: list[BaseForm]) -> dict:
    """What a browser with a will of its own could send for these forms."""
    data = {}
    for form in forms:
        for name, field in form.fields.items():
            kind = draw(KINDS)
            key = form.add_prefix(name)
            if isinstance(field, FileField):
                if kind != "left out":
                    data[key] = draw(FILES)
            elif kind == "kept":
                value = form[name].value()
                if isinstance(field, ChoiceField) and value in (None, "") and field.choices:
                    value = draw(st.sampled_from([key for key, _words in field.choices]))
                data[key] = "" if value is None else value
            elif kind == "many":
                data[key] = draw(SEVERAL)
            elif kind == "rubbish":
                data[key] = draw(TEXTS)
    return data


def counts() -> dict[str, int]:
    return {
        model._meta.label: model._base_manager.count()
        for model in apps.get_models()
        if model._meta.app_label in {"coursework", "assessments"}
    }


@pytest.mark.parametrize(("part", "name"), PLACES)
def test_rubbish_in_a_form_ends_in_a_sentence_and_leaves_no_row(part, name):
    table, build = PARTS[part]
    world = build()
    address = table.address(name, world)
    page = address
    if name == "attempt-log":
        # Its form is there once the student is chosen.
        page = address = f"{address}?student={world.student.pk}"
    elif name == "expiry-list":
        # Untouched, its form is drawn once per process.
        page = f"{address}?days=30"
    client = Client()
    forms = []
    for role in ("administrator", "lead", "student"):
        client.force_login(getattr(world, role))
        answer = client.get(page)
        if answer.status_code == 200 and (forms := forms_of(answer)):
            break
    assert (forms == []) == (name in WITHOUT_A_FORM)
    if not forms:
        return
    # What narrows a list stands in the address; everything else is sent.
    in_address = "filter" in answer.context or name == "expiry-list"
    ask = client.get if in_address else client.post

    @QUICK
    @given(st.data())
    def send(data):
        cache.clear()
        before = counts()
        savepoint = transaction.savepoint()
        try:
            # Encoded as a browser does it; a lone surrogate cannot be sent.
            answer = ask(address, sent(data.draw, forms))
            assert answer.status_code < 500
            refused = answer.status_code == 200 and any(form.errors for form in forms_of(answer))
            if refused or answer.status_code >= 400:
                assert counts() == before
        finally:
            transaction.savepoint_rollback(savepoint)

    send()


JSON = st.recursive(
    st.none() | st.booleans() | st.integers() | st.floats() | TEXTS,
    lambda inner: st.lists(inner, max_size=4) | st.dictionaries(TEXTS, inner, max_size=4),
    max_leaves=12,
)
NAMES = st.sampled_from(["person", "device", "items", "sent_at", "kind", "key", "drill", "columns"])


@QUICK
@given(
    body=st.dictionaries(NAMES, JSON | st.lists(st.dictionaries(NAMES, JSON)), max_size=6) | JSON
)
def test_rubbish_from_a_device_is_answered_and_stores_nothing(body):
    with transaction.atomic():
        _drill, lead, _student = crew()
        client = Client()
        client.force_login(lead)
        before = counts()
        text = json.dumps(body).encode("utf-8", "replace")
        answer = client.post(reverse("field-send"), text, content_type="application/json")
        assert answer.status_code < 500
        assert counts()["assessments.Attempt"] == before["assessments.Attempt"]
        transaction.set_rollback(True)
