from django.urls import path

from grading.views import (
    assignments,
    cohort,
    cohort_attempts,
    cohort_charts,
    cohort_tables,
    desk,
    desk_release,
    feedback,
    hand_in,
    hazards,
    home,
)

app_name = "grading"
urlpatterns = [
    path("", home.home, name="home"),
    path("assignments/course/<int:pk>/", assignments.assignments, name="assignments"),
    path(
        "cohorts/<int:pk>/assignments/new/",
        assignments.assignment_new,
        name="assignment_new",
    ),
    path("assignments/<int:pk>/", assignments.assignment, name="assignment"),
    path("assignments/<int:pk>/hand-in/", hand_in.hand_in, name="hand_in"),
    path("submissions/<int:pk>/", hand_in.submission, name="submission"),
    path("cohorts/<int:pk>/", cohort.cohort, name="cohort"),
    path(
        "cohorts/<int:pk>/elements/<str:key>/",
        cohort.cohort_element,
        name="cohort_element",
    ),
    path(
        "cohorts/<int:pk>/attempts/",
        cohort_attempts.cohort_attempts,
        name="cohort_attempts",
    ),
    path("cohorts/<int:pk>/charts/", cohort_charts.cohort_charts, name="cohort_charts"),
    path("cohorts/<int:pk>/omissions.csv", cohort_tables.cohort_csv, name="cohort_csv"),
    path(
        "cohorts/<int:pk>/attempts.csv",
        cohort_tables.cohort_attempts_csv,
        name="cohort_attempts_csv",
    ),
    path(
        "cohorts/<int:pk>/charts.csv",
        cohort_tables.cohort_charts_csv,
        name="cohort_charts_csv",
    ),
    path(
        "cohorts/<int:pk>/marks.csv",
        cohort_tables.cohort_marks_csv,
        name="cohort_marks_csv",
    ),
    path("hazards/", hazards.hazards, name="hazards"),
    path(
        "markings/<int:pk>/hazards/<str:sighting>/",
        hazards.hazard_word,
        name="hazard_word",
    ),
    path("markings/<int:pk>/", desk.desk, name="desk"),
    path("markings/<int:pk>/save/", desk.desk_save, name="desk_save"),
    path("markings/<int:pk>/state/", desk.desk_state, name="desk_state"),
    path("markings/<int:pk>/captions.vtt", desk.desk_captions, name="desk_captions"),
    path("markings/<int:pk>/release/", desk_release.desk_release, name="desk_release"),
    path("markings/<int:pk>/reopen/", desk_release.reopen, name="reopen"),
    path("feedback/<int:pk>/", feedback.feedback, name="feedback"),
    path("feedback/<int:pk>/feedback.pdf", feedback.feedback_pdf, name="feedback_pdf"),
    path(
        "feedback/<int:pk>/comments.vtt",
        feedback.feedback_comments,
        name="feedback_comments",
    ),
    path(
        "feedback/<int:pk>/captions.vtt",
        feedback.feedback_captions,
        name="feedback_captions",
    ),
]
