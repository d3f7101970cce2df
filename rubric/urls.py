from django.urls import path

from rubric.views import builder, editions, library

app_name = "rubric"
urlpatterns = [
    path("", library.rubrics, name="list"),
    path("import/", library.bring_in, name="import"),
    path("new/", builder.new, name="new"),
    path("<int:pk>/", builder.rubric, name="rubric"),
    path("<int:pk>/changes/", builder.changes, name="changes"),
    path("<int:pk>/paste/", builder.paste, name="paste"),
    path("<int:pk>/publish/", editions.publish, name="publish"),
    path("editions/<int:pk>/", editions.edition, name="edition"),
]
