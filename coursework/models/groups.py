"""Groups of a cohort that are taken out one after the other."""

from django.db import models
from django.utils.translation import gettext_lazy as _


class GroupQuerySet(models.QuerySet):
    def by_student(self) -> dict[int, str]:
        """The names of these groups by the number of each student who is in one."""
        names: dict[int, list[str]] = {}
        for student, name in self.filter(students__isnull=False).values_list("students", "name"):
            names.setdefault(student, []).append(name)
        return {student: ", ".join(found) for student, found in names.items()}


class Group(models.Model):
    """Some students of a cohort under a name; a student may be in several, or in none."""

    cohort = models.ForeignKey("coursework.Cohort", models.CASCADE, related_name="groups")
    name = models.CharField(_("name"), max_length=60)
    students = models.ManyToManyField(
        "coursework.Person", blank=True, related_name="field_groups", verbose_name=_("students")
    )

    objects = GroupQuerySet.as_manager()

    class Meta:
        verbose_name = _("group")
        verbose_name_plural = _("groups")
        ordering = ["name", "id"]
        constraints = [
            models.UniqueConstraint(fields=["cohort", "name"], name="group_name_once_a_cohort")
        ]

    def __str__(self) -> str:
        return self.name
