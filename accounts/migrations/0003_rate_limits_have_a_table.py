from django.core.management import call_command
from django.db import migrations


def make_table(apps, editor):
    call_command("createcachetable", database=editor.connection.alias, verbosity=0)


class Migration(migrations.Migration):
    dependencies = [("accounts", "0002_audit_is_append_only")]

    operations = [migrations.RunPython(make_table, migrations.RunPython.noop)]
