"""Addresses of attempts and sheets."""

from django.urls import path

from assessments.views import (
    attempts,
    cards,
    cohort_records,
    log,
    norths,
    planner,
    plans,
    practice,
    records,
    sheets,
    what_if,
)

urlpatterns = [
    path("drills/<int:pk>/log/", log.attempt_log, name="attempt-log"),
    path("sites/<int:pk>/norths/", norths.site_norths, name="site-norths"),
    path("drills/<int:pk>/emergency.pdf", cards.drill_emergency_card, name="emergency-card"),
    path("attempts/", attempts.attempt_list, name="attempt-list"),
    path("attempts/<uuid:key>/", attempts.attempt_detail, name="attempt-detail"),
    path("attempts/<uuid:key>/again/", attempts.attempt_again, name="attempt-again"),
    path("attempts/<uuid:key>/correct/", log.attempt_correct, name="attempt-correct"),
    path("attempts/<uuid:key>/sheet.pdf", sheets.attempt_sheet, name="attempt-sheet"),
    path("exercises/<int:pk>/blank.pdf", sheets.blank_sheet, name="blank-sheet"),
    path(
        "exercises/<int:pk>/students/<int:student_pk>/sheet.pdf",
        sheets.exercise_sheet,
        name="exercise-sheet",
    ),
    path("lessons/<int:pk>/plan.pdf", plans.lesson_plan, name="lesson-plan"),
    path("sites/<int:pk>/planner/", planner.planner, name="planner"),
    path("sites/<int:pk>/planner/map.png", planner.planner_map, name="planner-map"),
    path("sites/<int:pk>/planner/values", planner.planner_values, name="planner-values"),
    path("sites/<int:pk>/planner/sheet.pdf", planner.planner_sheet, name="planner-sheet"),
    path("sites/<int:pk>/sun-card.pdf", planner.sun_card, name="sun-card"),
    path("students/<int:pk>/record/", records.record, name="record"),
    path("students/<int:pk>/record.pdf", records.record_sheet_pdf, name="record-sheet"),
    path("practice/new/", practice.practice_add, name="practice-add"),
    path("attempts/<uuid:key>/otherwise/", what_if.otherwise, name="otherwise"),
    path("corner/", what_if.practice_corner, name="corner"),
    path("cohorts/<int:pk>/skills/", cohort_records.cohort_record, name="cohort-record"),
]
