"""Where the sun and the shadow stand through one day at a place, as CSV."""

import csv

import numpy as np
from django.core.management.base import BaseCommand, CommandError

from coursework.management import arguments
from solar.clock import ClockError
from solar.daylight import day
from solar.suntable import sun_table

ALL_DAY = ("up all day", "down all day")


class Command(BaseCommand):
    help = (
        "Prints the sun's azimuth, apparent elevation, and the bearing and length (in stick "
        "lengths) of a shadow through one local date, with rise, noon and set over the skyline."
    )
    requires_system_checks = ()

    def add_arguments(self, parser) -> None:
        arguments.add_place(parser)
        parser.add_argument("--date", type=arguments.local_date, required=True)
        parser.add_argument("--every", type=arguments.whole_minutes, default=30, metavar="MINUTES")

    def handle(self, *, lat, lon, elevation_m, zone, horizon, date, every, **options) -> None:
        place = {
            "latitude_deg": lat,
            "longitude_deg": lon,
            "elevation_m": elevation_m,
            "zone": zone,
            "horizon": horizon,
        }
        try:
            sun, table = day(date, **place), sun_table(date, every_min=every, **place)
        except ClockError as error:
            raise CommandError(str(error)) from error
        writer = csv.writer(self.stdout, lineterminator="\n")
        for name, moments in (("rise", sun.rises), ("noon", (sun.noon,)), ("set", sun.sets)):
            words = " ".join(arguments.clock_time(moment, "%H:%M:%S") for moment in moments)
            if not words:
                words = sun.state if sun.state in ALL_DAY else "none"
            self.stdout.write(f"# {name} {words}")
        writer.writerow(
            ["time", "azimuth_deg", "elevation_deg", "shadow_bearing_deg", "shadow_length"]
        )
        for row in table:
            numbers = (
                row.azimuth_deg,
                row.elevation_deg,
                row.shadow_bearing_deg,
                row.shadow_length,
            )
            writer.writerow(
                [row.time.isoformat()]
                + ["" if np.isnan(n) else f"{round(n, 3) + 0.0:.3f}" for n in numbers]
            )
