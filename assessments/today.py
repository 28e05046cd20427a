"""What the first page says of results and certificates: who is nearly there, what lapses, what to
practise. Each in a number of queries that depends on neither people nor results."""

from dataclasses import dataclass
from datetime import date, timedelta

from django.utils import timezone
from django.utils.translation import gettext as _

from assessments import policies
from assessments.certification import policies as certification_policies
from assessments.certification.standing import Standing, standings_of, today_of
from assessments.findings import Finding
from assessments.models import Attempt, Certification, Packet
from assessments.pages import ResultPage, page_of
from assessments.records.points import lines_of
from assessments.records.student import LOOKED_AT, StudentRecord
from assessments.sheets.words import capital
from coursework import policies as coursework_policies
from coursework.models import Approval, Exercise, Instrument, Person, Role
from coursework.wording import said_of

LOOKED_AHEAD = timedelta(days=60)
MOST_CERTIFICATIONS = 3
MOST_NEAR = 6
MOST_LAPSING = 6


@dataclass(frozen=True, kw_only=True)
class Near:
    """A student on the way to a certificate."""

    standing: Standing
    shown: int
    of: int

    @property
    def missing(self) -> list[str]:
        """Each skill that is not shown yet, with the first thing that it lacks."""
        return [
            said_of(one.skill.title, one.decision.missing[0].says)
            for one in self.standing.skills
            if one.decision.missing
        ]

    @property
    def next_step(self) -> str:
        """What is left where every skill is shown."""
        if self.shown < self.of:
            return ""
        if self.standing.is_complete:
            return _("Everything is signed off: a packet can be issued.")
        return _("Every skill is shown: sign off what is not.")


@dataclass(frozen=True, kw_only=True)
class Lapse:
    """Something with a last day; `address` leads to where it is dealt with."""

    what: str
    day: date | None
    is_over: bool
    packet: Packet | None = None
    person: Person | None = None
    instrument: Instrument | None = None


def near_certification(person: Person) -> list[Near]:
    """Students of the cohorts that someone leads, still running, the nearest first.

    Whoever holds a certificate already is left out, and who has shown no skill yet.
    """
    if person.school is None:
        return []
    cohorts = certification_policies.led_cohorts(person).not_over(timezone.localdate())
    lineages = cohorts.order_by().values("course__lineage")
    keys = Exercise.objects.filter(course__lineage__in=lineages).order_by().values("key")
    certifications = (
        Certification.objects.filter(school=person.school_id, skills__exercise_key__in=keys)
        .published()
        .one_each()
        .order_by("-published_at", "-pk")
        .distinct()
        .select_related("school")[:MOST_CERTIFICATIONS]
    )
    students = list(
        Person.objects.filter(
            enrolments__role=Role.STUDENT, enrolments__cohort__in=cohorts.order_by().values("pk")
        )
        .exclude(pk=person.pk)
        .distinct()
    )
    found = []
    for certification in certifications:
        for standing in standings_of(certification, students).values():
            if standing.shown and not standing.is_renewal:
                number = len(standing.skills)
                found.append(Near(standing=standing, shown=standing.shown, of=number))
    found.sort(key=lambda one: (one.of - one.shown, -one.shown, one.standing.student.name))
    return found[:MOST_NEAR]


def lapsing(person: Person) -> list[Lapse]:
    """Certificates, approvals of the staff and checks of instruments, the first to lapse first."""
    if person.school is None:
        return []
    today = today_of(person.school)
    last = today + LOOKED_AHEAD
    packets = certification_policies.visible_packets(person).lapsing(today, last)
    found = [
        Lapse(
            what=said_of(packet.certification.title, packet.holder),
            day=packet.expires_on,
            is_over=False,
            packet=packet,
        )
        for packet in packets.select_related("certification")[:MOST_LAPSING]
    ]
    staff = {one.pk: one for one in coursework_policies.staff(person)}
    for pk, kinds in Approval.objects.last_days(sorted(staff)).items():
        found += [
            Lapse(
                what=said_of(capital(str(Approval.Kind(kind).label)), staff[pk].name),
                day=day,
                is_over=day < today,
                person=staff[pk],
            )
            for kind, day in kinds.items()
            if day <= last
        ]
    instruments = coursework_policies.visible_instruments(person)
    for one in instruments.overdue(last + timedelta(days=1))[:MOST_LAPSING]:
        found.append(
            Lapse(
                what=_("Check of %s") % one,
                day=one.due_on,
                is_over=one.is_overdue(today),
                instrument=one,
            )
        )
    found.sort(key=lambda one: (one.day or date.min, one.what))
    return found[:MOST_LAPSING]


@dataclass(frozen=True, kw_only=True)
class StudentNow:
    """The last result with its split, and one thing to practise; None where there is none."""

    attempt: Attempt | None
    page: ResultPage | None
    finding: Finding | None


def student_now(person: Person) -> StudentNow:
    """Of what the student may see now: nothing of a site where an assessed drill is on."""
    attempts = policies.visible_attempts(person).filter(student=person)
    newest = attempts.filter(current__no_result="").select_related(
        "current", "exercise", "drill__site"
    )
    last = newest.order_by("-observed_at", "-pk").first()
    if last is None:
        return StudentNow(attempt=None, page=None, finding=None)
    lines = attempts.filter(current__own_error_deg__isnull=False)
    recent = lines.order_by("-observed_at", "-pk").values("pk")[:LOOKED_AT]
    told = StudentRecord(lines_of(Attempt.objects.filter(pk__in=recent))).found.told
    return StudentNow(attempt=last, page=page_of(last.current), finding=told[0] if told else None)
