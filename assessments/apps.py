from django.apps import AppConfig


class AssessmentsConfig(AppConfig):
    name = "assessments"
    verbose_name = "Attempts and records"
    default_auto_field = "django.db.models.BigAutoField"

    def ready(self) -> None:
        # Django's models are ready only now.
        from assessments.traces import declare_assessments

        declare_assessments()
