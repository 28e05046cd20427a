from django.apps import AppConfig


class AssessmentsConfig(AppConfig):
    name = "assessments"
    verbose_name = "Attempts and records"
    default_auto_field = "django.db.models.BigAutoField"

    def ready(self) -> None:
        # Django's models are ready only now.
        from assessments.calendar_entries import certificate_entries
        from assessments.traces import declare_assessments
        from coursework.feed_entries import add_source

        declare_assessments()
        add_source(certificate_entries)
