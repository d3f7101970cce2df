from django.urls import path

from accounts.views import audit, courses, people, sign_in

app_name = "accounts"
urlpatterns = [
    path("courses/", courses.courses, name="courses"),
    path("courses/<int:pk>/", people.people, name="people"),
    path("courses/<int:pk>/cohorts/", courses.cohort_open, name="cohort_open"),
    path("courses/<int:pk>/invite/", people.invite, name="invite"),
    path(
        "courses/<int:pk>/invitations/<int:invitation_pk>/again/",
        people.invite_again,
        name="invite_again",
    ),
    path(
        "courses/<int:pk>/invitations/<int:invitation_pk>/withdraw/",
        people.invitation_withdraw,
        name="invitation_withdraw",
    ),
    path("courses/<int:pk>/people/<int:person_pk>/", people.person, name="person"),
    path(
        "courses/<int:pk>/roles/<int:membership_pk>/take/",
        people.role_take,
        name="role_take",
    ),
    path("join/<str:token>/", sign_in.join, name="join"),
    path("audit/", audit.audit, name="audit"),
]
