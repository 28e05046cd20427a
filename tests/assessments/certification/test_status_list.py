"""The list of withdrawn certificates: its bits, its signature, and the command that reads it."""

import gzip
from base64 import urlsafe_b64decode
from datetime import timedelta

import pytest
from django.core.cache import cache
from django.core.management import CommandError, call_command
from django.test import Client
from django.urls import reverse
from django.utils import timezone

from assessments.certification import keys
from assessments.certification.credential import (
    CredentialError,
    genuine_claims,
    signed_credential,
    verified,
)
from assessments.certification.issuing import withdraw_packet
from assessments.certification.status_list import LEAST_BITS, encoded, is_withdrawn, signed_list
from assessments.models import Packet
from tests.assessments.certification import made


def bits_of(text: str) -> bytes:
    return gzip.decompress(urlsafe_b64decode(text[1:] + "=" * (-len(text[1:]) % 4)))


# W3C Bitstring Status List v1.0 (Recommendation, 2025), section 3.3: multibase base64url of the
# GZIP of at least 16 KB; the first index is the left-most bit.
@pytest.mark.parametrize(
    ("place", "byte", "value"), [(0, 0, 0x80), (7, 0, 0x01), (8, 1, 0x80), (LEAST_BITS - 1, -1, 1)]
)
def test_the_bit_of_a_place_is_counted_from_the_left(place, byte, value):
    text = encoded([place])
    bits = bits_of(text)
    assert text[0] == "u"
    assert len(bits) == 16 * 1024
    assert bits[byte] == value
    assert sum(bits) == value


def test_a_list_grows_with_its_places():
    assert len(bits_of(encoded([LEAST_BITS]))) == 32 * 1024


def test_a_list_of_nobody_is_as_long_as_one_of_many():
    assert len(bits_of(encoded([]))) == 16 * 1024


@pytest.fixture
def world(db, settings, tmp_path):
    cache.clear()
    settings.DATA_DIR = tmp_path
    settings.ADDRESS = made.CHECK.removesuffix("/check/")
    world = made.world()
    world.packet = made.issued(world)
    world.token = signed_credential(world.packet, keys.school_key(world.school), "Europe/Zurich")
    return world


def fetched(world) -> str:
    """By the address that the credential names."""
    address = verified(world.token)["credentialStatus"]["statusListCredential"]
    return Client().get(address.removeprefix("https://school.example")).content.decode()


def test_a_credential_names_its_place_in_the_list_of_its_school(world):
    entry = verified(world.token)["credentialStatus"]
    assert entry["type"] == "BitstringStatusListEntry"
    assert entry["statusPurpose"] == "revocation"
    assert entry["statusListIndex"] == str(world.packet.pk)
    assert entry["statusListCredential"] == f"{made.CHECK}status/{world.school.pk}"


def test_a_withdrawal_shows_in_the_list_and_in_no_place_but_its_own(world):
    claims, now = verified(world.token), timezone.now()
    assert not is_withdrawn(claims, fetched(world), now=now)
    withdraw_packet(world.lead, world.packet, "By mistake.")
    text = fetched(world)
    assert is_withdrawn(claims, text, now=now)
    claims["credentialStatus"]["statusListIndex"] = str(world.packet.pk + 1)
    assert not is_withdrawn(claims, text, now=now)


def test_a_list_tells_neither_number_nor_name(world):
    withdraw_packet(world.lead, world.packet, "By mistake.")
    said = str(genuine_claims(fetched(world)))
    assert world.packet.number not in said
    assert "Zofia" not in said


@pytest.mark.parametrize(
    ("age", "refused"), [(timedelta(hours=23), False), (timedelta(hours=25), True)]
)
def test_a_list_holds_a_day(world, age, refused):
    now = timezone.now()
    text = signed_list(world.school, made.CHECK, keys.school_key(world.school), now=now - age)
    claims = verified(world.token)
    if refused:
        with pytest.raises(CredentialError, match="too old"):
            is_withdrawn(claims, text, now=now)
    else:
        assert not is_withdrawn(claims, text, now=now)


def test_the_list_of_another_school_is_refused(world):
    other = made.world().school
    text = signed_list(other, made.CHECK, keys.school_key(other), now=timezone.now())
    with pytest.raises(CredentialError, match="not the one"):
        is_withdrawn(verified(world.token), text, now=timezone.now())


def test_the_command_reads_a_list_where_the_certificate_is_not_in_the_database(
    world, tmp_path, capsys
):
    path, listed = tmp_path / "credential.jwt", tmp_path / "list.jwt"
    path.write_text(world.token)
    listed.write_text(fetched(world))
    withdraw_packet(world.lead, world.packet, "By mistake.")
    later = tmp_path / "later.jwt"
    later.write_text(fetched(world))
    Packet.objects.all().delete()
    call_command("verify_credential", path, status_list=listed)
    assert "State:      valid" in capsys.readouterr().out
    call_command("verify_credential", path, status_list=later)
    assert "State:      withdrawn" in capsys.readouterr().out
    call_command("verify_credential", path)
    assert f"status/{world.school.pk}" in capsys.readouterr().out


def test_the_command_refuses_what_is_no_list(world, tmp_path):
    path = tmp_path / "credential.jwt"
    path.write_text(world.token)
    with pytest.raises(CommandError, match="not the one"):
        call_command("verify_credential", path, status_list=path)


def test_whoever_fetches_too_often_is_told_to_wait(world):
    client = Client()
    address = reverse("status-list", args=[world.school.pk])
    codes = [client.get(address).status_code for _try in range(21)]
    assert codes == [200] * 20 + [429]
