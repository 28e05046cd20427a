"""The code that an empty installation asks for."""

import re
import stat
from io import StringIO

import pytest
from django.core.management import CommandError, call_command
from django.test import override_settings

from coursework.setup_code import forget_setup_code, is_setup_code, setup_code
from tests import builders


@pytest.fixture(autouse=True)
def folder(tmp_path):
    with override_settings(DATA_DIR=tmp_path):
        yield tmp_path


def test_it_is_made_once_and_stays_the_same():
    assert re.fullmatch(r"([2-9A-HJKMNP-TV-Z]{4}-){2}[2-9A-HJKMNP-TV-Z]{4}", setup_code())
    assert setup_code() == setup_code()


def test_only_its_owner_reads_it_and_nothing_else_is_left(folder):
    setup_code()
    assert [path.name for path in folder.iterdir()] == ["setup-code"]
    assert stat.S_IMODE((folder / "setup-code").stat().st_mode) == 0o600


def test_one_that_is_forgotten_comes_back_as_another():
    first = setup_code()
    forget_setup_code()
    forget_setup_code()
    assert setup_code() != first


def test_case_spaces_and_hyphens_do_not_matter():
    assert is_setup_code(f"  {setup_code().lower().replace('-', ' ')} ")


@pytest.mark.parametrize("text", ["", "-", "ABCD-EFGH-JKMO", "Ä"])
def test_anything_else_is_not_it(text):
    assert not is_setup_code(text)


@pytest.mark.django_db
def test_the_command_prints_it():
    out = StringIO()
    call_command("setup_code", stdout=out)
    assert out.getvalue().strip() == setup_code()


@pytest.mark.django_db
def test_the_command_says_when_there_is_a_school_already(folder):
    builders.school()
    with pytest.raises(CommandError, match="has a school already"):
        call_command("setup_code")
    assert not list(folder.iterdir())


@pytest.mark.django_db
def test_migrate_tells_it_while_there_is_no_school(capsys):
    call_command("migrate", verbosity=1, interactive=False)
    assert setup_code() in capsys.readouterr().out
    builders.school()
    call_command("migrate", verbosity=1, interactive=False)
    assert "setup code" not in capsys.readouterr().out
