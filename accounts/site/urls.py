from django.urls import include, path

urlpatterns = [
    path("", include("grading.urls")),
    path("rubrics/", include("rubric.urls")),
    path("", include("accounts.urls")),
]
