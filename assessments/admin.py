"""Evidence behind the maintenance door: it can be read there, and nothing else."""

from django.contrib import admin

from assessments.models import Attempt, Revision


class ReadOnlyAdmin(admin.ModelAdmin):
    """Adding, changing and deleting go through the pages, which keep every earlier record."""

    def has_add_permission(self, request, *args):
        return False

    def has_change_permission(self, request, obj=None):
        return False

    def has_delete_permission(self, request, obj=None):
        return False


@admin.register(Attempt)
class AttemptAdmin(ReadOnlyAdmin):
    list_display = ["key", "student", "exercise", "method", "assessed", "created_at"]
    list_select_related = ["student", "exercise"]
    search_fields = ["student__name", "exercise__title"]


@admin.register(Revision)
class RevisionAdmin(ReadOnlyAdmin):
    list_display = ["attempt", "number", "recorded_by", "recorded_at", "verdict"]
    list_select_related = ["attempt__student", "attempt__exercise", "recorded_by"]
