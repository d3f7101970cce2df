import io

import pytest
from django.core.management import CommandError, call_command

from accounts.models import User
from tests.factories import UserFactory


def test_a_database_that_holds_anything_else_is_refused(db):
    UserFactory()
    with pytest.raises(CommandError, match="holds something else"):
        call_command("demo", stdout=io.StringIO())
    assert User.objects.count() == 1


def test_the_demo_stays_off_a_real_site(db, settings):
    settings.DEMO = settings.TESTING = False
    with pytest.raises(CommandError, match="BELLSIDE_DEMO=1"):
        call_command("demo", stdout=io.StringIO())
    assert not User.objects.exists()
