"""What a test asks of a site from within, in a process of its own with the site's settings.

`python -m tests.engines.inside NAME [ARGUMENT ...]`; the answer is one line of JSON.
"""

import json
import sys
import time

import django

PASSWORD = "over hill and ford 7"


def prepare(writers: str = "8") -> dict:
    """Tables, a drill with its students, and as many leads as there are to be writers."""
    from django.core.management import call_command

    from assessments.field.standard import standard_tag
    from tests import builders
    from tests.assessments import results
    from tests.assessments.field.messages import FIELDS

    call_command("migrate", verbosity=0, interactive=False)
    drill = results.drill()
    leads = [
        builders.lead(drill.cohort, username=f"writer{n}", password=PASSWORD)
        for n in range(int(writers))
    ]
    return {
        "drill": drill.pk,
        "site": drill.site_id,
        "fields": FIELDS,
        "standard": standard_tag(drill),
        "students": [builders.student(drill.cohort).pk for _ in range(12)],
        "writers": {person.username: person.pk for person in leads},
    }


def prepare_today() -> dict:
    """Tables, and a drill of this hour: distances told, which can be scored at any hour."""
    from django.core.management import call_command
    from django.utils import timezone

    from tests import builders
    from tests.assessments import results

    call_command("migrate", verbosity=0, interactive=False)
    drill = results.drill("distance", starts_at=timezone.now())
    builders.lead(drill.cohort, name="Tove Haugland", username="tove", password=PASSWORD)
    for name in ("Sigrun Aasland", "Odd Berge"):
        builders.student(drill.cohort, name=name)
    return {"drill": drill.pk}


def count() -> dict:
    """What is stored, and whether the sums beside it are those of what is stored."""
    from assessments.models import Arrival, Attempt, RecordSummary, Revision
    from assessments.records.summaries import rebuild

    fields = [field.name for field in RecordSummary._meta.concrete_fields if field.name != "id"]
    sums = RecordSummary.objects.order_by("cohort", "student", "exercise_key", "method")
    before = list(sums.values_list(*fields))
    rebuild(RecordSummary.objects.all())
    return {
        "keys": [str(key) for key in Attempt.objects.values_list("key", flat=True)],
        "revisions": Revision.objects.count(),
        "arrivals": Arrival.objects.count(),
        "without_revision": Attempt.objects.filter(current=None).count(),
        "sums_are_true": before == list(sums.values_list(*fields)),
    }


def courses() -> dict:
    """The title of each course with the length of what stands under it."""
    from coursework.models import Course

    return {
        title: len(summary) for title, summary in Course.objects.values_list("title", "summary")
    }


def added_by_the_next_version() -> dict:
    """What the migrations of `tests.engines.next_version` made of the rows that were there."""
    from django.db import connection

    with connection.cursor() as cursor:
        cursor.execute("SELECT title, title_length FROM coursework_course ORDER BY id")
        courses = cursor.fetchall()
        counts = {}
        for name in ("remark", "attempt"):
            cursor.execute(f"SELECT count(*) FROM assessments_{name}")
            counts[f"{name}s"] = cursor.fetchone()[0]
    titles = [len(title) for title, _length in courses]
    return {"titles": titles, "lengths": [length for _title, length in courses], **counts}


def begin_and_hang() -> dict:
    """Store a result, and stand still before the transaction ends; to be killed meanwhile."""
    from django.db import transaction

    from assessments.models import Attempt
    from assessments.services import record_attempt
    from coursework.models import Drill, Enrolment
    from tests.assessments import results

    drill = Drill.objects.get()
    lead = Enrolment.objects.filter(role="lead").first().person
    student = Enrolment.objects.filter(role="student").first().person
    with transaction.atomic():
        record_attempt(by=lead, drill=drill, student=student, observation=results.observation())
        print(json.dumps({"stored": Attempt.objects.count()}), flush=True)
        time.sleep(600)
    return {}


def certified(students: str, numbers_from: str) -> dict:
    """A cohort ready for its packets, asked for by its lead; the run is the workers' from now.

    What the builders number is numbered from `numbers_from`, past what is there already.
    """
    from itertools import count

    from assessments.certification.runs import start_run
    from assessments.certification.signing import sign_off
    from assessments.certification.tasks import hand_over
    from tests import builders
    from tests.assessments import results
    from tests.assessments.certification import made

    builders._numbers = count(int(numbers_from))
    world = made.world()
    people = [builders.student(world.cohort, name=f"Ines Nummer{n}") for n in range(int(students))]
    for student in people:
        results.attempt(of=world.drill, by=world.assistant, student=student)
        sign_off(world.assistant, world.skill, student, now=made.NOW)
    names = {one.pk: one.name.split()[-1] for one in people}
    run = start_run(
        world.lead, world.certification, world.cohort, family_names=names, check_address=made.CHECK
    )
    hand_over(run)
    return {"run": run.pk}


def fill_the_disk() -> dict:
    """Send results until the database has no room left, and the refused one again with room."""
    from uuid import uuid4

    from django.db import connection
    from django.test import Client

    from assessments.models import Attempt
    from coursework.models import Drill, Enrolment
    from tests.assessments.field.messages import message, result

    drill = Drill.objects.get()
    lead = Enrolment.objects.filter(role="lead").first().person
    student = Enrolment.objects.filter(role="student").first().person
    client = Client(raise_request_exception=False, headers={"host": "localhost"})
    client.force_login(lead)

    def limit(pages: int) -> None:
        with connection.cursor() as cursor:
            cursor.execute(f"PRAGMA max_page_count = {pages}")

    def send(key: str):
        body = message(result(drill, student, key=key)) | {"person": lead.pk}
        headers = {"accept": "application/json"}
        return client.post("/field/send/", body, "application/json", headers=headers)

    # The limit is never below what is there: from now on nothing may be added to it.
    limit(1)
    taken = 0
    while (refused := send(key := str(uuid4()))).status_code == 200:
        taken += 1
    page = client.get("/drills/")
    after_refusal = Attempt.objects.count()
    limit(2**30)
    again = send(key)
    return {
        "stored_before": taken,
        "refused": [refused.status_code, refused.json()["sentence"]],
        "kept": after_refusal,
        "page": page.status_code,
        "again": [again.status_code, again.json()["answers"][key]["state"]],
        "stored": Attempt.objects.count(),
    }


def run_state(pk: str) -> dict:
    """How far a run of packets is, and how many certificates each student has."""
    from collections import Counter

    from assessments.models import Packet, PacketRun

    run = PacketRun.objects.get(pk=int(pk))
    rows = list(run.rows.select_related("packet"))
    per_student = Counter(Packet.objects.values_list("student", flat=True))
    return {
        "state": run.state,
        "made": sum(row.made for row in rows),
        "issued": sum(row.packet is not None for row in rows),
        "most_of_one_student": max(per_student.values(), default=0),
    }


def look_after_now(pk: str) -> dict:
    """Let a run have been silent for an hour, and bring forward the task that looks after it."""
    from datetime import timedelta

    from django.utils import timezone
    from django_tasks_db.models import DBTaskResult

    from assessments.models import PacketRun

    past = timezone.now() - timedelta(hours=1)
    PacketRun.objects.filter(pk=int(pk)).update(heard_at=past)
    waiting = DBTaskResult.objects.filter(status="READY", task_path__endswith="look_after")
    his = [task.pk for task in waiting if task.args_kwargs["args"] == [int(pk)]]
    return {"brought_forward": waiting.filter(pk__in=his).update(run_after=past)}


def main(name: str, *arguments: str) -> None:
    django.setup()
    print(json.dumps(globals()[name](*arguments)), flush=True)


if __name__ == "__main__":
    main(*sys.argv[1:])
