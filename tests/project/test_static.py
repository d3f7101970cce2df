"""What is served: hashed names, also where one module imports another; small pages."""

import gzip
import re

import pytest
from django.core.management import call_command
from django.test import Client
from django.urls import reverse

from accounts.site import settings as own


@pytest.fixture
def collected(settings, tmp_path):
    settings.STORAGES = own.STORAGES
    settings.STATIC_ROOT = tmp_path
    call_command("collectstatic", interactive=False, verbosity=0)
    return tmp_path


def test_every_module_imports_hashed_files_that_are_there(collected):
    hashed = [p for p in collected.rglob("*.js") if re.search(r"\.\w{12}\.js$", p.name)]
    assert hashed
    for path in hashed:
        code = re.sub(r"/\*.*?\*/", "", path.read_text(encoding="utf-8"), flags=re.S)
        for target in re.findall(r"(?:from|import) *\"(\.[^\"]+)\"", code):
            assert re.search(r"\.\w{12}\.js$", target), (path.name, target)
            assert (path.parent / target).resolve().exists(), (path.name, target)


def test_a_page_goes_over_the_wire_compressed(db):
    answer = Client().get(reverse("account_login"), headers={"accept-encoding": "gzip"})

    assert answer.headers["Content-Encoding"] == "gzip"
    assert b"Sign in" in gzip.decompress(answer.content)
