from django.apps import AppConfig


class AssessmentsConfig(AppConfig):
    name = "assessments"
    verbose_name = "Attempts and records"
    default_auto_field = "django.db.models.BigAutoField"
