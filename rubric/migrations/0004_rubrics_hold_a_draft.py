from django.db import migrations, models

from rubric.definition import Draft, read


def make_drafts(apps, schema_editor):
    store = schema_editor.connection
    rubrics = apps.get_model("rubric", "Rubric").objects.using(store.alias)
    for rubric in rubrics.select_related("changed_by").iterator():
        definition = read(rubric.document, rubric.title)
        rubric.draft = Draft.of(definition, rubric.changed_by.name).dump()
        rubric.save(update_fields=["draft"])
    store.check_constraints()  # PostgreSQL alters no table with checks outstanding


def make_documents(apps, schema_editor):
    """The file of each draft; what is faulty in it stays so."""
    store = schema_editor.connection
    rubrics = apps.get_model("rubric", "Rubric").objects.using(store.alias)
    for rubric in rubrics.iterator():
        rubric.document = Draft.load(rubric.draft).file()
        rubric.save(update_fields=["document"])
    store.check_constraints()


class Migration(migrations.Migration):
    dependencies = [("rubric", "0003_editions_say_what_kept_its_meaning")]

    operations = [
        migrations.AddField("rubric", "draft", models.TextField(default=""), preserve_default=False),
        migrations.AlterField("rubric", "document", models.TextField(default="")),
        migrations.RunPython(make_drafts, make_documents),
        migrations.RemoveField("rubric", "document"),
    ]
