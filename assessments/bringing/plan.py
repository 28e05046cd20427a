"""What a file of attempts would store, row by row; then all of it, or nothing."""

import uuid
from collections.abc import Sequence
from dataclasses import dataclass, replace

from django.core.exceptions import ValidationError
from django.utils.translation import gettext as _

from assessments import policies
from assessments.bringing.reading import AttemptFile, AttemptRow
from assessments.bulk import SeveralRefused, record_all, refused_of
from assessments.models import Attempt, NoResult
from assessments.observations import (
    OBSERVED_COLUMNS,
    ROW_COLUMNS,
    Observation,
    setting_of,
)
from assessments.services import Entry
from coursework.models import Cohort, Drill, Person
from coursework.models.methods import is_travel
from coursework.policies import may_assess, require
from coursework.solar_words import in_words
from solar.scoring import score

NAMESPACE = uuid.UUID("0d9f2a2e-3c0b-5b53-9f52-6d1f2f2d8c11")
"""Of the keys made from the identifiers of files: the same file makes the same keys."""
NEAR = {"lat": 1e-4, "lon": 1e-4, "elevation_m": 25.0}
"""How far a place may be from the drill's own; about ten metres, and 25 m of height."""
_EXACT = 1e-6


@dataclass(frozen=True, kw_only=True)
class PlannedRow:
    """What one row would store: a new result, nothing (it is there already), or what is wrong."""

    row: AttemptRow
    faults: tuple[str, ...] = ()
    entry: Entry | None = None
    is_stored: bool = False


@dataclass(frozen=True, kw_only=True)
class Plan:
    rows: Sequence[PlannedRow]

    @property
    def fault_number(self) -> int:
        return sum(bool(row.faults) for row in self.rows)

    @property
    def new_number(self) -> int:
        return sum(not row.faults and not row.is_stored for row in self.rows)

    @property
    def stored_number(self) -> int:
        return sum(not row.faults and row.is_stored for row in self.rows)

    @property
    def can_be_done(self) -> bool:
        return not self.fault_number and bool(self.new_number)

    @property
    def entries(self) -> list[Entry]:
        return [row.entry for row in self.rows if row.entry is not None]


def key_of(cohort: Cohort, identifier: str) -> uuid.UUID:
    """The key of an attempt that a file calls so: the same one for the same cohort."""
    return uuid.uuid5(NAMESPACE, f"{cohort.pk} {identifier}")


def plan_attempts(
    by: Person, cohort: Cohort, file: AttemptFile, *, drills: Sequence[Drill]
) -> Plan:
    """Hold a file against drills of a cohort (one, or all of it); stores nothing.

    Place and standard are the drill's: a row that says otherwise is refused and not rescored.
    """
    require(may_assess(by, cohort))
    planner = _Planner(by, cohort, drills)
    planned = [planner.planned(row) for row in file.rows]
    planned = _scored(planned)
    sound = [row for row in planned if not row.faults]
    refused = (
        {id(sound[one.position]): one for one in refused_of(by, [row.entry for row in sound])}
        if sound
        else {}
    )
    known = Attempt.objects.in_bulk([row.entry.key for row in sound], field_name="key")
    return Plan(
        rows=[
            replace(row, faults=(refused[id(row)].sentence,))
            if id(row) in refused
            else replace(row, is_stored=row.entry is not None and row.entry.key in known)
            for row in planned
        ]
    )


def import_attempts(
    by: Person, cohort: Cohort, file: AttemptFile, *, drills: Sequence[Drill]
) -> int:
    """Store what `plan_attempts` found; how many are new. ValidationError where any is wrong."""
    plan = plan_attempts(by, cohort, file, drills=drills)
    if plan.fault_number:
        raise ValidationError(_("Something in the file has to be put right: nothing is stored."))
    try:
        record_all(by, plan.entries)
    except SeveralRefused as error:
        raise ValidationError([one.sentence for one in error.refused]) from error
    return plan.new_number


class _Planner:
    """One file against the drills and the students of a cohort."""

    def __init__(self, by: Person, cohort: Cohort, drills: Sequence[Drill]) -> None:
        self.cohort, self.drills = cohort, drills
        self.settings = {drill.pk: setting_of(drill) for drill in drills}
        students = list(policies.students_to_log(by, drills[0])) if drills else []
        self.by_username = {one.username.casefold(): one for one in students}
        self.by_name: dict[str, list[Person]] = {}
        for one in students:
            self.by_name.setdefault(one.name.casefold(), []).append(one)

    def planned(self, row: AttemptRow) -> PlannedRow:
        faults = list(row.faults)
        student = self._student(row, faults)
        drill = self._drill(row, faults)
        if drill is not None:
            self._hold_against(drill, row, faults)
        observation = self._observation(row, faults)
        if faults:
            return PlannedRow(row=row, faults=tuple(faults))
        key = key_of(self.cohort, row["attempt"])
        entry = Entry(drill=drill, student=student, observation=observation, key=key)
        return PlannedRow(row=row, entry=entry)

    def _student(self, row: AttemptRow, faults: list[str]) -> Person | None:
        if not row.who:
            faults.append(_("It does not say whose attempt it is."))
            return None
        if row["username"]:
            found = [self.by_username.get(row["username"].casefold())]
        elif row["name"]:
            found = self.by_name.get(row["name"].casefold(), [])
        else:
            word = row["student"].casefold()
            found = [self.by_username[word]] if word in self.by_username else []
            found = found or self.by_name.get(word, [])
        found = [person for person in found if person is not None]
        if len(found) == 1:
            return found[0]
        if found:
            sentence = _("More than one student is called “%(who)s”: give the username.")
        else:
            sentence = _("“%(who)s” is no student of this cohort whose result you may log.")
        faults.append(sentence % {"who": row.who})
        return None

    def _drill(self, row: AttemptRow, faults: list[str]) -> Drill | None:
        if len(self.drills) == 1:
            return self.drills[0]
        day = (row["times"] or row["date"])[:10]
        found = [
            drill
            for drill in self.drills
            if drill.local_start.date().isoformat() == day
            and drill.exercise.method == row["method"]
            and not any(
                self._differs(drill, name, row[name]) for name in ("lat", "lon") if row[name]
            )
        ]
        if len(found) == 1:
            return found[0]
        said = {"method": row["method"] or "–", "day": day or "–"}
        if found:
            faults.append(
                _(
                    "The cohort has several drills by %(method)s on %(day)s: bring the file into "
                    "one of them."
                )
                % said
            )
        else:
            faults.append(
                _("The cohort has no drill by %(method)s on %(day)s at that place.") % said
            )
        return None

    def _hold_against(self, drill: Drill, row: AttemptRow, faults: list[str]) -> None:
        if is_travel(drill.exercise.method):
            faults.append(_("The format holds lines that were laid; this drill has none."))
            return
        for name, value in self.settings[drill.pk].items():
            if row[name] and self._differs(drill, name, row[name]):
                faults.append(
                    _("%(column)s “%(said)s”: the drill has “%(own)s”.")
                    % {"column": name, "said": row[name], "own": value or _("blank")}
                )

    def _differs(self, drill: Drill, name: str, said: str) -> bool:
        own = self.settings[drill.pk].get(name, "")
        try:
            return abs(float(said) - float(own)) > NEAR.get(name, _EXACT)
        except ValueError:
            return " ".join(said.split()) != " ".join(own.split())

    def _observation(self, row: AttemptRow, faults: list[str]) -> Observation:
        no_result = row["no_result"]
        if no_result and no_result not in NoResult.values:
            faults.append(
                _("no_result “%(said)s”: must be one of %(words)s.")
                % {"said": no_result, "words": ", ".join(NoResult.values)}
            )
        columns = {name: row[name] for name in OBSERVED_COLUMNS if row[name]}
        if no_result:
            if row["reading_deg"]:
                faults.append(_("no_result: it has a reading all the same."))
            columns = {"times": row["times"]} if row["times"] else {}
        return Observation(
            columns=columns,
            no_result=no_result,
            sky=row["sky"],
            ground=row["ground"],
            remark=row["remark"],
        )


def _scored(planned: list[PlannedRow]) -> list[PlannedRow]:
    """The rows with what the engine finds wrong in them, all scored at once."""
    lines = [row for row in planned if row.entry and not row.entry.observation.no_result]
    if not lines:
        return planned
    filled = [
        {
            "attempt": row.row["attempt"],
            **setting_of(row.entry.drill),
            **row.entry.observation.filled(row.entry.drill.exercise.method, row.entry.student),
        }
        for row in lines
    ]
    scores = score({name: [one[name] for one in filled] for name in ROW_COLUMNS})
    faults = {
        id(line): in_words(problem)
        for line, problem in zip(lines, scores.columns["problem"], strict=True)
        if problem
    }
    return [
        replace(row, faults=(faults[id(row)],), entry=None) if id(row) in faults else row
        for row in planned
    ]
