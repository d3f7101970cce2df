from accounts.site.frozen import freeze
from django.db import migrations


class Migration(migrations.Migration):
    dependencies = [("grading", "0001_assignments_to_releases")]

    operations = [
        freeze("grading_release", "UPDATE"),
        freeze("grading_releasedocument", "UPDATE"),
        freeze("grading_change", "UPDATE"),
    ]
