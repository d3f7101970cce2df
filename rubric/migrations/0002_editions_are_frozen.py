from accounts.site.frozen import freeze
from django.db import migrations


class Migration(migrations.Migration):
    dependencies = [("rubric", "0001_rubrics_and_editions")]

    operations = [freeze("rubric_edition", "UPDATE")]
