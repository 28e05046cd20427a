"""What the invented students lay and what their instructors read, made from the sun itself.

Each line is the one a flawless practitioner would lay, turned by the student's own error; the
check reads it with its own scatter and is rounded to what the instrument gives.
"""

import random
import uuid
from dataclasses import dataclass, field, replace
from datetime import datetime, timedelta

from assessments.demo.calendar import Outing
from assessments.demo.people import Temper
from assessments.observations import ROW_COLUMNS, Observation, number_text, setting_of
from coursework.models import Drill, Instrument, Method, Person, ReferenceMark
from solar.clock import zone_of
from solar.daylight import day
from solar.declination import declination
from solar.ephemeris import sun_position
from solar.scoring import score

_KEYS = uuid.UUID("6d6f8a0e-0f57-4f0b-9d6e-5b1f0a3c7d11")
_THROUGH_MARKS = {Method.SHADOW_TIP, Method.FIRST_LAST, Method.EQUAL_SHADOW}
_SUN_RADIUS_DEG = 0.27
_NOTHING = (
    ("cloud", ""),
    ("safety", "Thunder behind the ridge, everyone called in."),
    ("other", "A cow walked off with the stick."),
)
_THEODOLITE_U_DEG = 0.2


@dataclass
class Go:
    """One student's go at a drill, before it is checked."""

    student: Person
    temper: Temper
    number: int
    columns: dict[str, str] = field(default_factory=dict)
    laid_deg: float = 0.0

    def chance(self, drill: Drill) -> random.Random:
        """The same chances every time the school is built."""
        return random.Random(f"{self.student.username} {drill.starts_at} {self.number}")

    def key(self, drill: Drill) -> uuid.UUID:
        return uuid.uuid5(_KEYS, f"{self.student.username} {drill.starts_at} {self.number}")


class FieldDay:
    """One drill with everyone's goes; `observations` gives what its instructor records."""

    def __init__(self, drill: Drill, outing: Outing, *, progress: float, index: int) -> None:
        self.drill, self.outing = drill, outing
        self.progress, self.index = progress, index
        self.site, self.method = drill.site, drill.exercise.method
        self.start = drill.starts_at.astimezone(drill.site.zone_info)
        self.place = {
            "latitude_deg": self.site.latitude_deg,
            "longitude_deg": self.site.longitude_deg,
            "elevation_m": self.site.elevation_m,
        }
        field_there = declination([drill.starts_at], **self.place)
        self.declination_deg = float(field_there.declination_deg[0])

    def observations(
        self,
        people: list[tuple[Person, Temper]],
        instruments: list[Instrument],
        marks: list[ReferenceMark],
    ) -> list[tuple[Go, Observation]]:
        goes = [
            Go(student, temper, number)
            for number in range(self.outing.goes)
            for student, temper in people
        ]
        if not goes:
            return []
        for place, go in enumerate(goes):
            go.columns = self._recorded(go, place)
        if self.method == Method.EQUAL_SHADOW:
            self._time_the_afternoon(goes)
        self._lay(goes)
        seen = [(go, self._checked(go, instruments, marks, place)) for place, go in enumerate(goes)]
        return seen + self._without_result(people)

    def _without_result(self, people: list[tuple[Person, Temper]]) -> list[tuple[Go, Observation]]:
        """On some days somebody’s last go comes to nothing: cloud, thunder, cows."""
        if self.index % 4 != 1:
            return []
        reason, remark = _NOTHING[self.index % len(_NOTHING)]
        student, temper = people[self.index % len(people)]
        go = Go(student, temper, self.outing.goes)
        return [(go, Observation(columns={}, no_result=reason, remark=remark))]

    def _recorded(self, go: Go, place: int) -> dict[str, str]:
        chance, temper = go.chance(self.drill), go.temper
        moment = self.start + timedelta(minutes=2.0 * place, seconds=chance.randrange(60))
        if self.method == Method.SHADOW_TIP:
            gap = max(2.0, temper.interval_min + chance.gauss(0.0, 1.2))
            times = [moment + timedelta(minutes=gap * n) for n in range(2 + (place % 5 == 4))]
            return {"times": _texts(times), "stick_m": "1.2" if place % 3 == 0 else "1"}
        if self.method == Method.FIRST_LAST:
            return self._first_and_last(chance, place)
        if self.method == Method.SHORTEST_SHADOW:
            moment = self.start + timedelta(seconds=round(chance.gauss(0.0, 200.0)))
        columns = {"times": _texts([moment])}
        if self.method == Method.HANDS:
            columns |= self._counted(chance, temper, moment)
        return columns

    def _first_and_last(self, chance: random.Random, place: int) -> dict[str, str]:
        if place % 3 == 0:
            return {"date": self.start.date().isoformat(), "order": "day"}
        today = day(
            self.start.date(), zone=zone_of(self.site.zone), horizon=self.site.profile, **self.place
        )
        first = today.rises[0] + timedelta(minutes=12.0, seconds=chance.randrange(900))
        last = today.sets[-1] - timedelta(minutes=12.0, seconds=chance.randrange(900))
        return {"times": _texts([first, last])}

    def _counted(self, chance: random.Random, temper: Temper, moment: datetime) -> dict[str, str]:
        azimuth, elevation = sun_position([moment], **self.place)
        height = float(elevation[0]) - _SUN_RADIUS_DEG
        height -= float(self.site.profile.elevation_deg(azimuth[0]))
        hands = height / temper.hand_deg * (1.0 + chance.gauss(0.0, temper.counting_share))
        columns = {"hands": number_text(min(12.0, max(0.5, round(hands * 2.0) / 2.0)))}
        if temper.hand_measured:
            columns["degrees_per_hand"] = number_text(temper.hand_deg)
            if temper.sets_rule:
                columns["rule_deg_per_hand"] = number_text(temper.hand_deg)
        return columns

    def _time_the_afternoon(self, goes: list[Go]) -> None:
        """Half of them note when the afternoon tip met the arc; the others leave it to the sun."""
        scores = score(self._table(goes))
        for place, go in enumerate(goes):
            if place % 2:
                continue
            met = datetime.fromisoformat(scores.drawing(place)["marks"][1]["time"])
            late = round(go.chance(self.drill).gauss(0.0, 40.0))
            local = met.astimezone(self.site.zone_info).replace(microsecond=0)
            go.columns["times"] += ";" + _texts([local + timedelta(seconds=late)])

    def _lay(self, goes: list[Go]) -> None:
        scores = score(self._table(goes))
        problems = [problem for problem in scores.columns["problem"] if problem]
        if problems:
            raise ValueError(f"{self.drill}, {self.start}: {problems[0]}")
        numbers = scores.columns
        for place, go in enumerate(goes):
            method_deg = float(numbers["method_error_deg"][place])
            own_deg = self._own_error(go, float(numbers["marking_scatter_deg"][place]))
            if self.method == Method.HANDS and go.temper.hand_measured:
                own_deg += float(numbers["counting_error_deg"][place])
            go.laid_deg = self.drill.exercise.target_deg + method_deg + own_deg
            if go.temper.declares and self.method in {Method.SHADOW_TIP, Method.WATCH}:
                chance = random.Random(f"declared {go.key(self.drill)}")
                declared = round((-method_deg + chance.gauss(0.0, 2.5)) / 5.0) * 5.0
                go.columns["student_correction_deg"] = number_text(declared)
                go.laid_deg += declared

    def _own_error(self, go: Go, marking_scatter_deg: float) -> float:
        chance, temper = random.Random(f"own {go.key(self.drill)}"), go.temper
        scatter = temper.scatter_deg
        if temper.first_scatter_deg is not None:
            scatter += (temper.first_scatter_deg - scatter) * (1.0 - self.progress) ** 2
        own = temper.pull_deg + chance.gauss(0.0, scatter)
        own += temper.declination_share * self.declination_deg
        if self.method in _THROUGH_MARKS:
            own += chance.gauss(0.0, marking_scatter_deg)
        if temper.summer_watch and self.method == Method.WATCH:
            own += -15.0 if self.site.latitude_deg >= 0.0 else 15.0
        if temper.swaps_at == self.index and go.number == 0:
            own += 180.0
        return own

    def _table(self, goes: list[Go]) -> dict[str, list[str]]:
        """The goes as a batch whose check is left aside: only the method's part is wanted."""
        base = setting_of(self.drill) | {"check": "direct", "reading_deg": "0"}
        rows = [base | {"attempt": str(n)} | go.columns for n, go in enumerate(goes)]
        return {name: [row.get(name, "") for row in rows] for name in ROW_COLUMNS}

    def _checked(
        self, go: Go, instruments: list[Instrument], marks: list[ReferenceMark], place: int
    ) -> Observation:
        chance = random.Random(f"check {go.key(self.drill)}")
        check = self.outing.check
        kind = "compass" if check == "compass" else "protractor"
        usable = [instrument for instrument in instruments if instrument.kind == kind]
        instrument = None if check == "direct" else usable[self.index % len(usable)]
        columns, mark = go.columns | {"check": check}, None
        noise = chance.gauss(0.0, instrument.reading_u_deg if instrument else _THEODOLITE_U_DEG)
        if check == "compass":
            own = self.outing.own_declination
            columns["declination_deg"] = own
            reading = go.laid_deg - self.declination_deg - instrument.correction_deg
        elif check == "landmark":
            mark = marks[self.index % len(marks)]
            reading = go.laid_deg - mark.bearing_deg
        elif check == "shadow":
            moment = self._last_time(go) + timedelta(minutes=2, seconds=chance.randrange(120))
            columns["check_time"] = moment.isoformat()
            azimuth, _ = sun_position([moment], **self.place)
            reading = go.laid_deg - float(azimuth[0]) - 180.0
        else:
            reading = go.laid_deg
            columns["reading_u_deg"] = number_text(_THEODOLITE_U_DEG)
        # A card is read to the degree, a line fixed with a theodolite to a tenth.
        places = 1 if check == "direct" else 0
        columns["reading_deg"] = number_text(round(reading + noise, places) % 360.0)
        return self._described(
            Observation(columns=columns, instrument=instrument, mark=mark), chance, place
        )

    def _described(self, observation: Observation, chance: random.Random, place: int):
        steps = self.drill.exercise.step_list
        met = tuple(step for step in steps if chance.random() < 0.9)
        remarks = [
            "Worked quietly and finished first.",
            "Wind moved the stick; set again before the first mark.",
            "Asked for the time twice.",
            "Laid the line by eye between the marks, not through them.",
            "Explained the method to the next one in the row.",
        ]
        return replace(
            observation,
            steps_met=met,
            sky=self.outing.sky,
            ground=self.outing.ground,
            remark=remarks[place % len(remarks)] if chance.random() < 0.12 else "",
        )

    def _last_time(self, go: Go) -> datetime:
        return datetime.fromisoformat(go.columns["times"].split(";")[-1])


def _texts(times: list[datetime]) -> str:
    return ";".join(moment.replace(microsecond=0).isoformat() for moment in times)
