"""The site as a made-up next version would be: the tables of this one, and one change more each."""

from coursework.settings import *  # noqa: F403

MIGRATION_MODULES = {
    app: f"tests.engines.next_version.{app}_migrations" for app in ("coursework", "assessments")
}
