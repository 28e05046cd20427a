"""Every setting that the environment may hold, as the settings module reads them."""

from django.core.management.base import BaseCommand

from coursework.environment import REFERENCE


def reference() -> str:
    """A table in Markdown: variable, meaning, and what holds when it is unset."""
    rows = [f"| `{one.name}` | {one.about} | {one.unset} |" for one in REFERENCE.values()]
    return "\n".join(["| variable | meaning | when unset |", "|---|---|---|", *rows])


class Command(BaseCommand):
    help = "Prints every setting of the environment with its meaning, as a table in Markdown."
    requires_system_checks = []

    def handle(self, **options):
        self.stdout.write(reference())
