"""When a method is good at a place, as CSV."""

import csv

import numpy as np
from django.core.management.base import BaseCommand, CommandError

from coursework.management import arguments
from solar.columns import SUN_METHODS
from solar.windows import Place, cells, stretches

LONGEST_DAYS = 366 * 5


class Command(BaseCommand):
    help = (
        "Prints the stretches of local time in which a drill started then has a method error of "
        "at most --limit degrees; scatter is the largest of one careful marking in the stretch."
    )
    requires_system_checks = ()

    def add_arguments(self, parser) -> None:
        arguments.add_place(parser)
        parser.add_argument("--from", type=arguments.local_date, required=True, dest="first")
        parser.add_argument("--to", type=arguments.local_date, required=True, dest="last")
        parser.add_argument("--method", choices=SUN_METHODS, required=True)
        parser.add_argument("--every", type=arguments.whole_minutes, default=10, metavar="MINUTES")
        parser.add_argument(
            "--interval",
            type=arguments.number(1.0, 600.0, "minutes"),
            default=15.0,
            help="minutes between the two marks of a shadow tip",
        )
        parser.add_argument("--limit", type=arguments.number(0.0, 180.0, "degrees"), default=5.0)

    def handle(self, *, first, last, method, every, interval, limit, **options) -> None:
        if last < first:
            raise CommandError(f"--to {last} is before --from {first}.")
        if (last - first).days >= LONGEST_DAYS:
            raise CommandError("At most five years can be looked through in one go.")
        place = Place(
            latitude_deg=options["lat"],
            longitude_deg=options["lon"],
            elevation_m=options["elevation_m"],
            zone=options["zone"],
            horizon=options["horizon"],
        )
        found = cells(method, place, first=first, last=last, every_min=every, interval_min=interval)
        writer = csv.writer(self.stdout, lineterminator="\n")
        writer.writerow(["date", "from", "to", "worst_method_error_deg", "marking_scatter_deg"])
        for stretch in stretches(found, place, limit_deg=limit):
            scatter = stretch.scatter_deg
            writer.writerow(
                [
                    stretch.date.isoformat(),
                    arguments.clock_time(stretch.start, "%H:%M"),
                    arguments.clock_time(stretch.end, "%H:%M"),
                    f"{round(stretch.worst_error_deg, 3) + 0.0:.3f}",
                    "" if np.isnan(scatter) else f"{scatter:.3f}",
                ]
            )
