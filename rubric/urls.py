from django.urls import path

from rubric.views import editions, library

app_name = "rubric"
urlpatterns = [
    path("", library.rubrics, name="list"),
    path("import/", library.bring_in, name="import"),
    path("<int:pk>/", library.rubric, name="rubric"),
    path("<int:pk>/publish/", editions.publish, name="publish"),
    path("editions/<int:pk>/", editions.edition, name="edition"),
]
