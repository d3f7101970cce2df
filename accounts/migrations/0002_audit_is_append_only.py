from accounts.site.frozen import freeze
from django.db import migrations


class Migration(migrations.Migration):
    dependencies = [("accounts", "0001_people_courses_and_audit")]

    operations = [freeze("accounts_auditentry", "UPDATE", "DELETE")]
