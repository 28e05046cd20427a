"""Who is signed in, with the school whose clock their pages go by."""

from django.contrib.auth.backends import ModelBackend

from coursework.models import Person


class SchoolBackend(ModelBackend):
    """Django's own sign-in; a reader comes with their school and its settings, in one query."""

    def get_user(self, user_id: int) -> Person | None:
        found = Person.objects.select_related("school__settings").filter(pk=user_id).first()
        return found if found is not None and self.user_can_authenticate(found) else None
