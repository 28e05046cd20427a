"""The packet as a file: what stands in it, the same bytes again, a signature that breaks."""

from io import BytesIO

import pytest
from django.test import Client
from django.urls import reverse
from pypdf import PdfReader

from assessments.certification.keys import school_key
from assessments.certification.packet_source import packet_sheet
from assessments.certification.pdf_signature import signed
from assessments.models import Packet, Revision
from assessments.services import correct_attempt
from assessments.sheets.packet import render_pdf
from coursework.models import Person, Site
from tests.assessments import results
from tests.assessments.certification import made
from tests.assessments.certification.second_reader import certificate_if_sound

pytestmark = pytest.mark.django_db


def unsigned(packet: Packet, **paper) -> bytes:
    return render_pdf(packet_sheet(Packet.objects.get(pk=packet.pk)), **paper)


def pages(content: bytes) -> list[str]:
    return [page.extract_text() for page in PdfReader(BytesIO(content)).pages]


def test_the_certificate_has_what_iso_17024_asks_for():
    # ISO/IEC 17024:2012, contents of a certificate (from memory): name of the person, unique
    # identification, the body, the scheme and its scope, effective date and expiry.
    world = made.world()
    packet = made.issued(world)
    text = pages(unsigned(packet))[1]
    for part in (
        "Zofia Świerczyńska",
        packet.number_in_groups,
        world.school.name,
        "Day navigator, version 1",
        "Lines by the sun on open ground.",
        "25 June 2025",
        "24 June 2028",
    ):
        assert part in text


def test_every_page_carries_holder_number_and_place_among_the_pages():
    packet = made.issued(made.world())
    found = pages(unsigned(packet))
    for number, text in enumerate(found, start=1):
        assert f"Zofia Świerczyńska · {packet.number_in_groups}" in text
        assert f"page {number} of {len(found)}" in text


def test_the_outline_leads_to_the_page_of_each_part():
    reader = PdfReader(BytesIO(unsigned(made.issued(made.world()))))
    titles = [entry.title for entry in reader.outline]
    assert titles[:3] == ["Cover", "Certificate", "Summary of skills"]
    assert titles[-4:] == [
        "Error history",
        "Standards and rule in full",
        "Cautions and scope",
        "Signatures",
    ]
    for entry in reader.outline[1:3] + reader.outline[-3:]:
        page = reader.pages[reader.get_destination_page_number(entry)]
        assert page.extract_text().startswith(entry.title)


def test_title_language_and_holder_are_properties_of_the_file():
    packet = made.issued(made.world())
    reader = PdfReader(BytesIO(unsigned(packet)))
    assert reader.metadata.title == "Day navigator: certification packet"
    assert packet.holder in reader.metadata.subject
    assert reader.trailer["/Root"]["/Lang"].startswith("en")
    assert reader.trailer["/Root"]["/ViewerPreferences"]["/DisplayDocTitle"]
    assert reader.trailer["/Root"]["/MarkInfo"]["/Marked"]
    assert reader.metadata.creation_date == packet.issued_at


def test_all_lettering_is_embedded():
    reader = PdfReader(BytesIO(unsigned(made.issued(made.world()))))
    fonts = [
        font.get_object() for page in reader.pages for font in page["/Resources"]["/Font"].values()
    ]
    assert fonts
    assert all("/FontFile2" in font.get("/FontDescriptor", ()) for font in fonts)


@pytest.mark.parametrize("paper", ["a4", "letter"])
def test_from_the_same_evidence_the_same_bytes(paper):
    packet = made.issued(made.world())
    assert unsigned(packet, paper=paper) == unsigned(packet, paper=paper)


def test_what_changes_after_the_issue_does_not_change_the_packet():
    world = made.world()
    packet = made.issued(world)
    before = unsigned(packet)
    correct_attempt(
        by=world.lead,
        attempt=world.attempt,
        observation=results.observation(columns={"reading_deg": "20"}),
        reason="Typed wrongly.",
    )
    made.attempt(world, columns=made.OUTSIDE)
    Person.objects.filter(pk=world.student.pk).update(name="Zofia Nowak")
    Person.objects.filter(pk=world.assistant.pk).update(name="Another Name")
    Site.objects.update(name="Renamed meadow")
    world.school.name = "Renamed school"
    world.school.save()
    assert unsigned(packet) == before


def test_every_assessed_attempt_is_printed_whatever_came_of_it():
    world = made.world()
    made.attempt(world, columns=made.OUTSIDE)
    text = " ".join(" ".join(pages(unsigned(made.issued(world)))).split())
    assert "outside the standard" in text
    assert "Assessed attempts within the standard: 1 of 2." in text


@pytest.mark.parametrize(
    ("name", "shown"),
    [
        ("Łucja Żółkiewska", "Łucja Żółkiewska"),
        ("Ελένη Ξενάκη", "Ελένη Ξενάκη"),
        ("Nguyễn Thị Ấu", "Nguyễn Thị Ấu"),
    ],
)
def test_names_print_in_their_own_letters(name, shown):
    world = made.world()
    Person.objects.filter(pk=world.student.pk).update(name=name)
    world.student.refresh_from_db()
    packet = made.issued(world, family_name=name.split()[-1])
    found = pages(unsigned(packet))
    assert shown in found[1]
    assert "lettering lacks" not in found[0]


def test_an_arabic_name_is_joined_and_drawn_from_the_right():
    world = made.world()
    Person.objects.filter(pk=world.student.pk).update(name="ليلى الحمداني")
    world.student.refresh_from_db()
    packet = made.issued(world, family_name="الحمداني")
    found = pages(unsigned(packet))
    assert "lettering lacks" not in found[0]
    assert "[U+" not in found[1]
    # The last letter of the name, yeh, in its final shape (U+FEF2) is drawn first, on the left.
    assert "\ufef2" in found[1] or "ي" in found[1]


def test_letters_that_no_lettering_has_are_told_of():
    world = made.world()
    Person.objects.filter(pk=world.student.pk).update(name="李明 Li")
    world.student.refresh_from_db()
    assert "U+674E" in pages(unsigned(made.issued(world, family_name="Li")))[0]


def signed_file(world) -> bytes:
    packet = made.issued(world)
    client = Client()
    client.force_login(world.student)
    return client.get(reverse("packet-pdf", args=[packet.pk])).content


def test_a_second_reader_verifies_the_signature_of_the_school():
    world = made.world()
    certificate = certificate_if_sound(signed_file(world))
    assert certificate == school_key(world.school).certificate


def test_the_signature_is_put_behind_the_bytes_of_the_packet():
    world = made.world()
    content = unsigned(made.issued(world))
    assert signed(content, school_key(world.school), name="A", reason="B").startswith(content)


@pytest.mark.parametrize("part", [0.02, 0.3, 0.6, 0.9])
def test_a_changed_byte_breaks_the_signature(part):
    content = bytearray(signed_file(made.world()))
    # Within a stream of a page: a byte that is no part of the file's structure.
    start = content.index(b"stream", int(len(content) * 0.7 * part)) + 40
    content[start] ^= 1
    assert certificate_if_sound(bytes(content)) is None


def test_something_added_behind_the_signature_is_noticed():
    assert certificate_if_sound(signed_file(made.world()) + b"\n% more\n") is None


def test_an_attempt_without_a_result_is_printed_with_its_reason():
    world = made.world()
    second = made.attempt(world)
    Revision.objects.filter(attempt=second).update(
        no_result="gave up",
        verdict="",
        score_value=None,
        score_expanded_u=None,
        laid_true_deg=None,
        error_deg=None,
        method_error_deg=None,
        own_error_deg=None,
        expanded_uncertainty_deg=None,
        drawing={},
    )
    text = " ".join(" ".join(pages(unsigned(made.issued(world)))).split())
    assert "No result: the student gave up" in text
    assert "Assessed attempts within the standard: 1 of 2. 1 of them came to no result." in text
