"""The credential: its claims, its signature, and the command that verifies it."""

import json
from base64 import urlsafe_b64decode, urlsafe_b64encode
from datetime import timedelta

import pytest
from cryptography.hazmat.primitives import hashes
from cryptography.hazmat.primitives.asymmetric import padding
from django.core.management import CommandError, call_command

from assessments.certification import keys
from assessments.certification.credential import CredentialError, signed_credential, verified
from assessments.certification.issuing import withdraw_packet
from assessments.models import Packet
from tests.assessments.certification import made

pytestmark = pytest.mark.django_db


@pytest.fixture
def world(settings, tmp_path):
    settings.DATA_DIR = tmp_path
    world = made.world()
    world.packet = made.issued(world)
    return world


def token_of(world) -> str:
    return signed_credential(world.packet, keys.school_key(world.school), "Europe/Zurich")


def part(text: str) -> bytes:
    return urlsafe_b64decode(text + "=" * (-len(text) % 4))


def test_it_has_what_open_badges_ask_of_a_credential(world):
    # 1EdTech Open Badges 3.0, OpenBadgeCredential and AchievementSubject (from memory).
    claims = verified(token_of(world))
    assert claims["@context"][0] == "https://www.w3.org/ns/credentials/v2"
    assert {"VerifiableCredential", "OpenBadgeCredential"} <= set(claims["type"])
    assert claims["issuer"]["name"] == world.school.name
    assert claims["validFrom"] == "2025-06-25T09:00:00Z"
    assert claims["validUntil"] == "2028-06-24T21:59:59Z"
    subject = claims["credentialSubject"]
    assert subject["identifier"][0]["identityHash"] == "Zofia Świerczyńska"
    assert subject["achievement"]["name"] == "Day navigator"
    assert "1 attempt within the standard" in subject["achievement"]["criteria"]["narrative"]


def test_the_signature_holds_by_rfc_7515_without_the_library_that_made_it(world):
    head, body, signature = token_of(world).split(".")
    assert json.loads(part(head))["alg"] == "RS256"
    public = keys.school_key(world.school).certificate.public_key()
    public.verify(part(signature), f"{head}.{body}".encode(), padding.PKCS1v15(), hashes.SHA256())


def test_a_changed_claim_is_noticed(world):
    head, body, signature = token_of(world).split(".")
    claims = json.loads(part(body))
    claims["name"] = "Night navigator"
    forged = urlsafe_b64encode(json.dumps(claims).encode()).decode().rstrip("=")
    with pytest.raises(CredentialError, match="changed"):
        verified(f"{head}.{forged}.{signature}")


def test_one_without_a_signature_is_refused(world):
    _head, body, _signature = token_of(world).split(".")
    head = urlsafe_b64encode(b'{"alg":"none"}').decode().rstrip("=")
    with pytest.raises(CredentialError):
        verified(f"{head}.{body}.")


def test_one_of_a_foreign_key_is_refused_though_it_brings_its_key_along(world, tmp_path, settings):
    token = token_of(world)
    settings.DATA_DIR = tmp_path / "elsewhere"
    keys.school_key(world.school)
    with pytest.raises(CredentialError):
        verified(token)


def test_what_an_earlier_key_signed_is_still_verified(world):
    token = token_of(world)
    keys.renew(world.school)
    assert verified(token)["name"] == "Day navigator"


@pytest.mark.parametrize("text", ["", "no credential", "a.b.c"])
def test_what_is_no_credential_is_refused(world, text):
    keys.school_key(world.school)
    with pytest.raises(CredentialError):
        verified(text)


def run(path, capsys) -> str:
    call_command("verify_credential", path)
    return capsys.readouterr().out


def test_the_command_says_who_what_and_in_which_state(world, tmp_path, capsys):
    path = tmp_path / "credential.jwt"
    path.write_text(token_of(world))
    said = run(path, capsys)
    assert "Zofia Świerczyńska" in said
    assert "State:      valid" in said
    withdraw_packet(world.lead, world.packet, "By mistake.")
    assert "State:      withdrawn" in run(path, capsys)


def test_the_command_tells_one_that_has_expired(world, tmp_path, capsys):
    path = tmp_path / "credential.jwt"
    world.packet.expires_on = world.packet.issued_on + timedelta(days=1)
    path.write_text(token_of(world))
    assert "State:      expired" in run(path, capsys)


def test_the_command_works_where_the_certificate_is_not_in_the_database(world, tmp_path, capsys):
    path = tmp_path / "credential.jwt"
    path.write_text(token_of(world))
    Packet.objects.all().delete()
    assert "not in this database" in run(path, capsys)


@pytest.mark.parametrize(
    ("content", "said"), [(None, "cannot be read"), (b"\xff", "plain text"), (b"a", "Not genuine")]
)
def test_the_command_refuses_with_a_sentence(world, tmp_path, content, said):
    path = tmp_path / "credential.jwt"
    if content is not None:
        path.write_bytes(content)
    with pytest.raises(CommandError, match=said):
        call_command("verify_credential", path)
