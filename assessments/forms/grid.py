"""A stack of paper logs at a desk: what they share once, then a row a result.

Each row is read by the very form that logs one result, so it asks for the same and refuses
the same; what differs is only where its fields stand.
"""

import uuid
from dataclasses import dataclass, field, replace
from functools import cached_property

from django import forms
from django.http import QueryDict
from django.utils.html import format_html
from django.utils.safestring import SafeString
from django.utils.translation import gettext as _

from assessments.forms import log_form
from assessments.forms.methods import FEWEST_MARKS, MOST_MARKS, PARTS
from assessments.forms.no_result import NoResultForm
from assessments.forms.setting import Setting
from assessments.models import NoResult
from assessments.observations import Observation
from assessments.refusals import Refused
from assessments.services import Entry
from coursework.models import Drill, Method, Person

MOST_ROWS = 60
MORE_ROWS = 5
SHARED = (
    "date", "timing", "date_2", "stick_m", "mark_u_mm", "rule_deg_per_hand", "summer_time",
    "measured_m", "measured_u", "measured_u_unit", "start", "goal", "true", "point_u_m",
    "check", "instrument", "landmark", "reading_u_deg", "correction", "correction_side",
    "declination", "declination_side", "sky", "ground",
)  # fmt: skip
"""What a stack of logs has in common, by field; all else is asked for in each row."""
NOT_IN_A_GRID = ("mark_count", "key", "steps_met", "remark")
SIDES = {"student_correction": "student_correction_side"}
SIDED = {
    "correction_side": "correction",
    "declination_side": "declination",
    "student_correction_side": "student_correction",
}
UNITS = {
    "stick_m": "m",
    "mark_u_mm": "mm",
    "degrees_per_hand": "°",
    "rule_deg_per_hand": "°",
    "reading_deg": "°",
    "reading_u_deg": "°",
    "correction": "°",
    "declination": "°",
    "student_correction": "°",
    "measured_m": "m",
    "told_m": "m",
    "point_u_m": "m",
    "arrival_u_m": "m",
}


@dataclass
class Cell:
    """One field of one row: its inputs, and what is wrong with it."""

    inputs: SafeString
    errors: list[str]


@dataclass
class GridRow:
    """One result of the grid as typed."""

    number: int
    typed: QueryDict
    student: Person | None = None
    form: forms.Form | None = None
    errors: dict[str, list[str]] = field(default_factory=dict)
    observation: Observation | None = None

    @property
    def key(self) -> str:
        return self.typed.get("key") or str(uuid.uuid4())

    def complain(self, name: str, sentence: str) -> None:
        self.errors.setdefault(name, []).append(sentence)

    def refuse(self, refused: Refused) -> None:
        """Puts a refusal beside the field it is about."""
        if isinstance(self.form, NoResultForm) or refused.field in ("student", "key"):
            self.complain("student", refused.sentence)
            return
        self.form.refuse(refused)
        self._take_errors()

    def _take_errors(self) -> None:
        for name, sentences in self.form.errors.items():
            if name not in SHARED:
                place = "all_of_it" if name == "__all__" else name
                self.errors[place] = [str(sentence) for sentence in sentences]


class Grid:
    """The table of a drill. `data` is what was posted; None for a fresh one, a row a student."""

    def __init__(self, drill: Drill, students: list[Person], data: QueryDict | None = None):
        self.drill, self.students, self.data = drill, students, data
        anybody = students[0] if students else Person()
        self.setting = replace(Setting.of_drill(drill, anybody), degrees_per_hand=None)
        self.form_class = log_form(drill.exercise.method)

    @cached_property
    def shared(self) -> forms.Form:
        """The form whose shared fields stand above the table."""
        if self.data is None:
            form = self.form_class(setting=self.setting)
        else:
            data = self._shared_data()
            data["mark_count"] = str(self.marks)
            form = self.form_class(data, setting=self.setting)
        for name in ("check", "timing"):
            if name in form.fields:
                form.fields[name].widget = forms.Select(choices=form.fields[name].choices)
        # A side takes the name of what it is of, before that gets its unit.
        for name in reversed(list(form.fields)):
            form.fields[name].label = _label(form, name)
        return form

    @property
    def takes_more_marks(self) -> bool:
        part = PARTS.get(self.drill.exercise.method)
        return part is not None and part.takes_more_marks

    @property
    def marks(self) -> int:
        """How many marks are asked for in each row, where a line may have more than two."""
        if self.data is None or not self.takes_more_marks:
            return FEWEST_MARKS
        count = _number(self.data.get("marks", "")) + ("mark" in self.data)
        return min(max(count, FEWEST_MARKS), MOST_MARKS)

    @property
    def may_have_more_marks(self) -> bool:
        return self.takes_more_marks and self.marks < MOST_MARKS

    @property
    def shared_fields(self) -> list:
        return [self.shared[name] for name in SHARED if name in self.shared.fields]

    @property
    def shared_errors(self) -> bool:
        """Whether something above the table is wrong."""
        return any(self.shared.errors.get(name) for name in SHARED)

    @cached_property
    def names(self) -> list[str]:
        """The fields of a row, in the order in which they are typed."""
        hidden = {*NOT_IN_A_GRID, *SHARED, *SIDES.values()}
        names = [name for name in self.shared.fields if name not in hidden]
        if self.drill.exercise.method == Method.CHECKLIST and "steps_met" in self.shared.fields:
            names.append("steps_met")
        return names

    @property
    def headings(self) -> list[str]:
        return [str(self.shared.fields[name].label) for name in self.names]

    @cached_property
    def rows(self) -> list[GridRow]:
        if self.data is None:
            students = self.students[:MOST_ROWS]
            fresh = [GridRow(n, _typed(student=s.pk), s) for n, s in enumerate(students)]
            return fresh or [GridRow(0, _typed())]
        by_pk = {str(student.pk): student for student in self.students}
        rows = []
        for number in range(self.count):
            typed = self._row_data(number)
            rows.append(GridRow(number, typed, by_pk.get(typed.get("student", ""))))
        return rows

    @property
    def count(self) -> int:
        if self.data is None:
            return len(self.rows)
        count = _number(self.data.get("rows", ""))
        more = MORE_ROWS if "more" in self.data else 0
        return min(max(count, 1) + more, MOST_ROWS)

    @cached_property
    def filled(self) -> list[GridRow]:
        """The rows in which anything but the student is typed."""
        return [row for row in self.rows if self._is_filled(row)]

    def _is_filled(self, row: GridRow) -> bool:
        names = [*self.names, "remark", "no_result"]
        return any(text.strip() for name in names for text in row.typed.getlist(name))

    def read(self) -> bool:
        """Reads all filled rows; whether each made an observation."""
        for row in self.filled:
            self._read(row)
        return not self.shared_errors and all(
            row.observation is not None and not row.errors for row in self.filled
        )

    def _read(self, row: GridRow) -> None:
        if row.student is None:
            row.complain("student", _("Choose the student."))
        setting = replace(self.setting, degrees_per_hand=None)
        if row.typed.get("no_result"):
            row.form = NoResultForm(row.typed)
            if any(row.typed.get(name, "").strip() for name in self.names):
                row.complain("no_result", _("Either a result or none: clear one of them."))
        else:
            data = self._shared_data()
            for name in row.typed:
                data.setlist(name, row.typed.getlist(name))
            hand = row.student and row.student.degrees_per_hand
            if "degrees_per_hand" in self.names and not data.get("degrees_per_hand") and hand:
                data["degrees_per_hand"] = f"{hand:g}"
            data["mark_count"] = str(len([n for n in self.names if n.startswith("mark_")]))
            row.form = self.form_class(data, setting=setting)
        row.form.is_valid()
        row.observation = row.form.observation
        row._take_errors()

    def entries(self) -> list[Entry]:
        """The filled rows, once `read` found nothing wrong."""
        return [
            Entry(
                drill=self.drill,
                student=row.student,
                observation=row.observation,
                key=uuid.UUID(row.key),
            )
            for row in self.filled
        ]

    def refuse(self, refused: list[Refused]) -> None:
        for one in refused:
            self.filled[one.position].refuse(one)

    def cells(self, row: GridRow) -> list[Cell]:
        """The cells of a row after that of the student."""
        return [Cell(self._inputs(row, name), row.errors.get(name, [])) for name in self.names]

    def _inputs(self, row: GridRow, name: str) -> SafeString:
        inputs = self._input(row, name)
        if name in SIDES:
            inputs = format_html(
                '<span class="grid-pair">{}{}</span>', inputs, self._input(row, SIDES[name])
            )
        return inputs

    def _input(self, row: GridRow, name: str) -> SafeString:
        bound = self.shared.fields[name]
        is_list = name == "steps_met"
        value = row.typed.getlist(name) if is_list else row.typed.get(name, "")
        is_choice = isinstance(bound.widget, forms.Select)
        attrs = {
            "id": f"id_r{row.number}_{name}",
            "aria-label": _("%(field)s, row %(row)s")
            % {"field": bound.label, "row": row.number + 1},
            "class": "form-select" if is_choice else "" if is_list else "form-control",
        }
        if row.errors.get(name):
            attrs["class"] += " is-invalid"
            attrs["aria-describedby"] = f"id_r{row.number}_errors"
        return bound.widget.render(f"r{row.number}-{name}", value, attrs)

    @property
    def reasons(self) -> list[tuple[str, str]]:
        return NoResult.choices

    def _shared_data(self) -> QueryDict:
        data = QueryDict(mutable=True)
        for name in SHARED:
            if name in self.data:
                data.setlist(name, self.data.getlist(name))
        return data

    def _row_data(self, number: int) -> QueryDict:
        prefix = f"r{number}-"
        data = QueryDict(mutable=True)
        for name in self.data:
            if name.startswith(prefix):
                data.setlist(name.removeprefix(prefix), self.data.getlist(name))
        try:
            uuid.UUID(data.get("key", ""))
        except ValueError:
            data["key"] = str(uuid.uuid4())
        return data


def _number(text: str) -> int:
    """What a hidden field counts; 0 where it was tampered with."""
    return int(text) if text.isascii() and text.isdigit() and len(text) < 4 else 0


def _typed(**values) -> QueryDict:
    data = QueryDict(mutable=True)
    data.update({name: str(value) for name, value in values.items()})
    data["key"] = str(uuid.uuid4())
    return data


def _label(form: forms.Form, name: str) -> str:
    label, unit = form.fields[name].label, UNITS.get(name)
    if name == "student_correction":
        label = _("Correction declared before the check")
    elif name in SIDED:
        label = _("%(what)s: side") % {"what": form.fields[SIDED[name]].label}
    return f"{label} ({unit})" if unit else label
