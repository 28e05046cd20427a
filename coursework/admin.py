"""The maintenance door: raw records, for whoever looks after the server."""

from django.contrib import admin
from django.contrib.auth.admin import UserAdmin
from django.contrib.auth.decorators import login_not_required
from django.contrib.auth.views import redirect_to_login
from django.http import HttpRequest, HttpResponse
from django.urls import reverse
from django.utils.translation import gettext_lazy as _

from coursework import policies
from coursework.models import (
    Approval,
    Attendance,
    CalendarFeed,
    Cohort,
    Contact,
    Course,
    Decision,
    Drill,
    Enrolment,
    Exercise,
    FollowUp,
    Group,
    HandMeasurement,
    Incident,
    IncidentNote,
    Instrument,
    InstrumentCheck,
    Invitation,
    Lesson,
    LessonException,
    PaceMeasurement,
    Person,
    PlanException,
    PlannedLesson,
    ReferenceMark,
    School,
    SchoolSettings,
    Site,
)


@login_not_required
def sign_in(request: HttpRequest, extra_context=None) -> HttpResponse:
    """The site's own way in, with its limits and its second step; no other door beside it."""
    policies.require(not request.user.is_authenticated)
    return redirect_to_login(request.GET.get("next") or reverse("admin:index"))


admin.site.login = sign_in
admin.site.site_header = _("Plumbshadow maintenance")
admin.site.site_title = _("Plumbshadow maintenance")
admin.site.index_title = _("Records")


class KeptInline(admin.TabularInline):
    """Records that are added to through the pages and changed by nobody."""

    extra = 0
    can_delete = False

    def has_add_permission(self, request, obj=None) -> bool:
        return False

    def has_change_permission(self, request, obj=None) -> bool:
        return False


class ToBeReadAdmin(admin.ModelAdmin):
    """Records with a list of their own that only the pages add, change or delete."""

    def has_add_permission(self, request) -> bool:
        return False

    def has_change_permission(self, request, obj=None) -> bool:
        return False

    def has_delete_permission(self, request, obj=None) -> bool:
        return False


class SettingsInline(admin.StackedInline):
    model = SchoolSettings


class CheckInline(KeptInline):
    model = InstrumentCheck


class DecisionInline(KeptInline):
    model = Decision


class NoteInline(KeptInline):
    model = IncidentNote


class FollowUpInline(KeptInline):
    model = FollowUp


@admin.register(School)
class SchoolAdmin(admin.ModelAdmin):
    search_fields = ["name"]
    inlines = [SettingsInline]


@admin.register(Incident)
class IncidentAdmin(ToBeReadAdmin):
    list_display = ["occurred_at", "kind", "school", "site", "harm"]
    list_filter = ["school", "kind", "harm"]
    list_select_related = ["school", "site"]
    inlines = [FollowUpInline, NoteInline]


@admin.register(Person)
class PersonAdmin(UserAdmin):
    list_display = ["username", "name", "school", "is_school_admin", "is_active", "is_staff"]
    list_filter = ["school", "is_school_admin", "is_active", "is_staff"]
    list_select_related = ["school"]
    search_fields = ["username", "name"]
    ordering = ["name"]
    fieldsets = [
        (None, {"fields": ["username", "password"]}),
        (_("Person"), {"fields": ["name", "email", "degrees_per_hand", "paces_per_100_m"]}),
        (_("School"), {"fields": ["school", "is_school_admin"]}),
        (_("Maintenance"), {"fields": ["is_active", "is_staff", "is_superuser"]}),
        (_("Dates"), {"fields": ["last_login", "date_joined"]}),
    ]
    add_fieldsets = [
        (
            None,
            {
                "fields": [
                    "username",
                    "name",
                    "school",
                    "is_school_admin",
                    "usable_password",
                    "password1",
                    "password2",
                ]
            },
        )
    ]


@admin.register(Approval)
class ApprovalAdmin(admin.ModelAdmin):
    list_display = ["person", "kind", "issued_on", "expires_on", "recorded_by"]
    list_filter = ["person__school", "kind"]
    list_select_related = ["person", "recorded_by"]
    search_fields = ["person__name"]
    autocomplete_fields = ["person", "recorded_by"]


@admin.register(Contact)
class ContactAdmin(ToBeReadAdmin):
    """Whether something is shared and since when; what it says is not for whoever maintains."""

    fields = ["person", "emergency_agreed_at", "medical_agreed_at"]
    list_display = fields
    list_filter = ["person__school"]
    list_select_related = ["person"]
    search_fields = ["person__name"]


@admin.register(HandMeasurement)
class HandMeasurementAdmin(ToBeReadAdmin):
    list_display = ["person", "degrees", "measured_at", "measured_by"]
    list_filter = ["person__school"]
    list_select_related = ["person", "measured_by"]
    search_fields = ["person__name"]


@admin.register(PaceMeasurement)
class PaceMeasurementAdmin(ToBeReadAdmin):
    list_display = ["person", "paces_per_100_m", "measured_at", "measured_by"]
    list_filter = ["person__school"]
    list_select_related = ["person", "measured_by"]
    search_fields = ["person__name"]


@admin.register(Invitation)
class InvitationAdmin(ToBeReadAdmin):
    """To be read: only the pages can make the secret part of a link."""

    list_display = ["school", "cohort", "role", "note", "made_at", "expires_at", "accepted_at"]
    list_filter = ["school", "role", "makes_admin"]
    list_select_related = ["school", "cohort"]
    search_fields = ["note"]


@admin.register(CalendarFeed)
class CalendarFeedAdmin(ToBeReadAdmin):
    """To be read: only the pages can make the secret part of an address."""

    list_display = ["person", "made_at"]
    list_filter = ["person__school"]
    list_select_related = ["person"]
    search_fields = ["person__name"]


class MarkInline(admin.TabularInline):
    model = ReferenceMark
    extra = 0


@admin.register(Site)
class SiteAdmin(admin.ModelAdmin):
    list_display = ["name", "school", "latitude_deg", "longitude_deg", "zone"]
    list_filter = ["school"]
    search_fields = ["name"]
    inlines = [MarkInline]


@admin.register(Instrument)
class InstrumentAdmin(admin.ModelAdmin):
    inlines = [CheckInline]
    list_display = ["label", "kind", "school", "correction_deg", "reading_u_deg"]
    list_filter = ["school", "kind"]
    search_fields = ["label"]


class LessonInline(admin.StackedInline):
    model = Lesson
    extra = 0


class ExerciseInline(admin.StackedInline):
    model = Exercise
    extra = 0


@admin.register(Course)
class CourseAdmin(admin.ModelAdmin):
    list_display = ["title", "number", "school", "published_at"]
    list_filter = ["school"]
    search_fields = ["title"]
    readonly_fields = ["lineage", "number", "published_at", "published_by"]
    inlines = [LessonInline, ExerciseInline]


class EnrolmentInline(admin.TabularInline):
    model = Enrolment
    extra = 0
    autocomplete_fields = ["person"]


class AttendanceInline(admin.TabularInline):
    model = Attendance
    extra = 0
    autocomplete_fields = ["person", "marked_by"]
    raw_id_fields = ["lesson"]
    readonly_fields = ["lesson_key"]


@admin.register(Cohort)
class CohortAdmin(admin.ModelAdmin):
    list_display = ["name", "course", "starts_on", "ends_on"]
    list_filter = ["course__school"]
    list_select_related = ["course"]
    search_fields = ["name", "course__title"]
    inlines = [EnrolmentInline, AttendanceInline]


@admin.register(Group)
class GroupAdmin(admin.ModelAdmin):
    list_display = ["name", "cohort"]
    list_filter = ["cohort__course__school"]
    list_select_related = ["cohort"]
    search_fields = ["name", "cohort__name"]
    autocomplete_fields = ["cohort", "students"]


@admin.register(Drill)
class DrillAdmin(admin.ModelAdmin):
    inlines = [DecisionInline]
    list_display = ["exercise", "site", "cohort", "starts_at", "assessed"]
    list_filter = ["cohort__course__school", "assessed"]
    list_select_related = ["exercise", "site", "cohort"]
    date_hierarchy = "starts_at"


@admin.register(PlanException)
class PlanExceptionAdmin(ToBeReadAdmin):
    list_display = ["drill", "sentence", "reason", "by", "at"]
    list_filter = ["drill__cohort__course__school"]
    list_select_related = ["drill__exercise", "drill__site", "drill__cohort", "by"]


@admin.register(PlannedLesson)
class PlannedLessonAdmin(admin.ModelAdmin):
    list_display = ["lesson", "cohort", "starts_at", "site", "place", "cancelled_at"]
    list_filter = ["cohort__course__school"]
    list_select_related = ["lesson", "site", "cohort"]
    date_hierarchy = "starts_at"


@admin.register(LessonException)
class LessonExceptionAdmin(ToBeReadAdmin):
    list_display = ["planned_lesson", "sentence", "reason", "by", "at"]
    list_filter = ["planned_lesson__cohort__course__school"]
    list_select_related = [
        "planned_lesson__lesson",
        "planned_lesson__site",
        "planned_lesson__cohort",
        "by",
    ]
