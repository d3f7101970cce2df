from accounts.site.frozen import keep_frozen
from django.db import migrations, models
from django.db.models import Max


def count_on_from_the_newest(apps, editor):
    rubrics = apps.get_model("rubric.Rubric").objects.using(editor.connection.alias)
    for rubric in rubrics.annotate(newest=Max("editions__number")):
        rubric.last_number = rubric.newest or 0
        rubric.save(update_fields=["last_number"])


class Migration(migrations.Migration):
    dependencies = [("rubric", "0002_editions_are_frozen")]

    operations = [
        keep_frozen("rubric_edition", "UPDATE"),
        migrations.AddField(
            model_name="edition",
            name="lineage",
            field=models.JSONField(blank=True, default=dict),
        ),
        keep_frozen("rubric_edition", "UPDATE"),
        migrations.AddField(
            model_name="rubric",
            name="last_number",
            field=models.PositiveIntegerField(default=0),
        ),
        migrations.RunPython(count_on_from_the_newest, migrations.RunPython.noop),
    ]
