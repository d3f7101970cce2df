from django.urls import path, re_path

from rubric.views import builder, compare, editions, exports, library, publish

app_name = "rubric"
urlpatterns = [
    path("", library.rubrics, name="list"),
    path("import/", library.bring_in, name="import"),
    path("library/", library.library, name="library"),
    path("library/copy/", library.copy, name="copy"),
    path("library/<slug:name>/", library.starter, name="starter"),
    path("new/", builder.new, name="new"),
    path("<int:pk>/", builder.rubric, name="rubric"),
    path("<int:pk>/changes/", builder.changes, name="changes"),
    path("<int:pk>/paste/", builder.paste, name="paste"),
    path("<int:pk>/publish/", publish.publish, name="publish"),
    path("<int:pk>/compare/", compare.compare, name="compare"),
    re_path(
        r"^(?P<pk>[0-9]{1,18})/export\.(?P<kind>yaml|json)$",
        exports.export,
        name="export",
    ),
    re_path(
        r"^editions/(?P<pk>[0-9]{1,18})/export\.(?P<kind>yaml|json)$",
        exports.export_edition,
        name="export_edition",
    ),
    path("editions/<int:pk>/", editions.edition, name="edition"),
    path("editions/<int:pk>/delete/", editions.edition_delete, name="edition_delete"),
]
