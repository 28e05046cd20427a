"""Addresses of attempts and sheets."""

from django.urls import path

from assessments.views import attempts, log, sheets

urlpatterns = [
    path("drills/<int:pk>/log/", log.attempt_log, name="attempt-log"),
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
]
