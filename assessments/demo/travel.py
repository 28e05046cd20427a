"""What the invented students do where no line is laid: pace, tell, walk, plot, get ready."""

import random
from collections.abc import Callable
from datetime import timedelta

from assessments.demo.calendar import Outing
from assessments.demo.field import Go
from assessments.demo.people import Temper
from assessments.observations import Observation, number_text
from coursework.models import Drill, Method, Person
from solar.travel import WGS84

_TAPED_M, _TAPED_U_PERCENT = 400.0, 0.2
_GATE_M = 350.0
_LEG_M, _LEG_DEG = 620.0, 38.0
_FIX_U_M, _SURVEYED_U_M = 4.0, 1.5
_PLOT_M = 45.0


class TravelDay:
    """One drill with everyone's goes; `seen` gives what its instructor records."""

    def __init__(self, drill: Drill, outing: Outing, *, progress: float) -> None:
        self.drill, self.outing, self.progress = drill, outing, progress
        self.here = drill.site.longitude_deg, drill.site.latitude_deg

    def seen(self, people: list[tuple[Person, Temper]]) -> list[tuple[Go, Observation]]:
        goes = [
            Go(student, temper, number)
            for number in range(self.outing.goes)
            for student, temper in people
        ]
        return [(go, self._observed(go, place)) for place, go in enumerate(goes)]

    def _observed(self, go: Go, place: int) -> Observation:
        chance = go.chance(self.drill)
        kinds: dict[str, Callable[[random.Random, Temper], dict[str, str]]] = {
            Method.PACE_COUNT: lambda chance, temper: self._paced(chance, go.student, temper),
            Method.DISTANCE: self._told,
            Method.LEG: self._walked,
            Method.POSITION: self._plotted,
            Method.CHECKLIST: lambda chance, temper: {},
        }
        columns = kinds[self.drill.exercise.method](chance, go.temper)
        moment = self.drill.local_start + timedelta(minutes=4.0 * place)
        columns["times"] = moment.isoformat()
        steps = self.drill.exercise.step_list
        return Observation(
            columns=columns,
            steps_met=tuple(step for step in steps if chance.random() < 0.92),
            sky=self.outing.sky,
            ground=self.outing.ground,
        )

    def _paced(self, chance: random.Random, student: Person, temper: Temper) -> dict[str, str]:
        for_100_m = student.paces_per_100_m
        share = 1.0 + chance.gauss(0.0, 0.004 * temper.scatter_deg)
        return {
            "measured_m": number_text(_TAPED_M),
            "measured_u_percent": number_text(_TAPED_U_PERCENT),
            "paces": number_text(round(_TAPED_M / 100.0 * for_100_m * share)),
        }

    def _told(self, chance: random.Random, temper: Temper) -> dict[str, str]:
        told = _GATE_M * (1.0 + chance.gauss(-0.05, 0.03 * temper.scatter_deg))
        return {
            "measured_m": number_text(_GATE_M),
            "measured_u_m": "2",
            "told_m": number_text(max(50.0, round(told / 10.0) * 10.0)),
        }

    def _walked(self, chance: random.Random, temper: Temper) -> dict[str, str]:
        start, goal = self.here, _beyond(self.here, _LEG_DEG, _LEG_M)
        turn = 0.3 * temper.pull_deg + chance.gauss(0.0, 0.4 * temper.scatter_deg)
        length = _LEG_M * (1.0 + chance.gauss(0.0, 0.02))
        arrival = _beyond(self.here, _LEG_DEG + turn, length)
        points = {"start": start, "goal": goal, "arrival": arrival}
        known = {"point_u_m": number_text(_SURVEYED_U_M), "arrival_u_m": number_text(_FIX_U_M)}
        return _columns(points) | known

    def _plotted(self, chance: random.Random, temper: Temper) -> dict[str, str]:
        true = _beyond(self.here, 250.0, 180.0)
        off = abs(chance.gauss(0.0, _PLOT_M * (0.5 + temper.scatter_deg / 8.0)))
        points = {"true": true, "plotted": _beyond(true, chance.uniform(0.0, 360.0), off)}
        return _columns(points) | {"point_u_m": number_text(_FIX_U_M)}


def _beyond(start: tuple[float, float], towards_deg: float, metres: float) -> tuple[float, float]:
    longitude, latitude, _back = WGS84.fwd(*start, towards_deg, metres)
    return longitude, latitude


def _columns(points: dict[str, tuple[float, float]]) -> dict[str, str]:
    """Coordinates as a receiver shows them, to about a decimetre."""
    columns = {}
    for name, (longitude, latitude) in points.items():
        columns[f"{name}_lat"] = number_text(round(latitude, 6))
        columns[f"{name}_lon"] = number_text(round(longitude, 6))
    return columns
