"""The school's key: made once, kept for its owner alone, renewed before its time."""

from datetime import timedelta
from pathlib import Path
from stat import S_IMODE

import pytest
from django.core.management import CommandError, call_command
from django.utils import timezone

from assessments.certification import keys
from tests import builders

pytestmark = pytest.mark.django_db


@pytest.fixture
def school(settings, tmp_path):
    settings.DATA_DIR = tmp_path
    return builders.school()


def files() -> list[Path]:
    return sorted(keys.folder().iterdir())


def test_it_is_made_on_first_use_and_is_the_same_afterwards(school):
    assert keys.school_key(school).fingerprint == keys.school_key(school).fingerprint
    assert len(files()) == 1


def test_only_the_owner_of_the_machine_reads_it(school):
    keys.school_key(school)
    assert S_IMODE(files()[0].stat().st_mode) == 0o600
    assert S_IMODE(keys.folder().stat().st_mode) == 0o700


def test_each_school_has_its_own(school):
    other = builders.school()
    assert keys.school_key(school).fingerprint != keys.school_key(other).fingerprint


@pytest.mark.parametrize(("days", "number"), [(-1, 1), (0, 2)])
def test_it_is_renewed_sixty_days_before_its_certificate_runs_out(school, days, number):
    first = keys.school_key(school)
    due = first.certificate.not_valid_after_utc - keys.RENEWED_BEFORE
    keys.school_key(school, now=due + timedelta(days=days))
    assert len(files()) == number
    assert first.fingerprint in {key.fingerprint for key in keys.known_keys()}


def test_the_command_makes_a_new_one_and_keeps_the_old(school, capsys):
    first = keys.school_key(school)
    call_command("renew_school_key", school.name)
    now = keys.school_key(school)
    assert now.fingerprint != first.fingerprint
    assert now.fingerprint in capsys.readouterr().out
    assert len(keys.known_keys()) == 2


def test_the_command_names_a_school_that_is_not_there(school):
    with pytest.raises(CommandError, match="no school called"):
        call_command("renew_school_key", "Nowhere")


def test_the_certificate_is_in_force_now(school):
    certificate = keys.school_key(school).certificate
    assert certificate.not_valid_before_utc < timezone.now() < certificate.not_valid_after_utc
