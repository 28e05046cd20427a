from django.apps import AppConfig


class CourseworkConfig(AppConfig):
    name = "coursework"
    verbose_name = "Courses, people and places"
    default_auto_field = "django.db.models.BigAutoField"

    def ready(self) -> None:
        # Django's models are ready only now.
        from coursework.traces import declare_coursework

        declare_coursework()
