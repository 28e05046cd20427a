"""Tasks of the background worker, `manage.py db_worker`."""

from datetime import timedelta
from uuid import uuid4

from django.utils import timezone
from django_tasks import task

from assessments.certification import run_files
from assessments.certification.run_work import work
from assessments.models import PacketRun
from assessments.models.runs import FILES_KEPT, SILENT_AFTER


@task()
def make_packets(run_pk: int) -> None:
    """Do a run, and delete what earlier ones left too long ago."""
    run_files.remove_old()
    work(run_pk, worker=uuid4().hex)


@task()
def look_after(run_pk: int) -> None:
    """Take up a run whose worker was killed; look again as long as it goes on."""
    run = PacketRun.objects.filter(pk=run_pk).first()
    if run is None or not run.is_unfinished:
        return
    _later(look_after, 1.5 * SILENT_AFTER, run_pk)
    if run.is_silent(timezone.now()):
        work(run_pk, worker=uuid4().hex)


@task()
def delete_old_files() -> None:
    run_files.remove_old()


def hand_over(run: PacketRun) -> None:
    """To the worker: the run, a look at it later on, and the end of its files."""
    _later(look_after, 1.5 * SILENT_AFTER, run.pk)
    _later(delete_old_files, FILES_KEPT + timedelta(hours=1))
    make_packets.enqueue(run.pk)


def _later(what, after: timedelta, *arguments) -> None:
    # The backend of the tests does everything at once and knows no later.
    if what.get_backend().supports_defer:
        what.using(run_after=timezone.now() + after).enqueue(*arguments)
