from django.apps import AppConfig
from django.db.models.signals import post_migrate


class CourseworkConfig(AppConfig):
    name = "coursework"
    verbose_name = "Courses, people and places"
    default_auto_field = "django.db.models.BigAutoField"

    def ready(self) -> None:
        # Django's models are ready only now.
        from coursework import checks  # noqa: F401 - to be run by manage.py check
        from coursework.traces import declare_coursework

        declare_coursework()
        post_migrate.connect(tell_setup_code, sender=self)


def tell_setup_code(sender, *, verbosity: int, using: str, **more) -> None:
    """Say the setup code after `migrate`, the first command of every installation."""
    from coursework.models import School
    from coursework.setup_code import setup_code

    if verbosity < 1 or School.objects.using(using).exists():
        return
    print(
        "  There is no school yet. The first page (/start/) makes it and asks for the setup code: "
        f"{setup_code()}\n  (again at any time: manage.py setup_code)"
    )
