"""What a process loads before anybody asks for it."""

import subprocess
import sys

from tests.project.tree import ROOT


def test_the_site_starts_without_scipy_and_without_what_draws_pdfs():
    script = (
        "import sys, django; django.setup(); import accounts.site.urls;"
        "print(sorted({'scipy', 'weasyprint'} & set(sys.modules)))"
    )
    done = subprocess.run(
        [sys.executable, "-c", script],
        cwd=ROOT,
        env={"DJANGO_SETTINGS_MODULE": "accounts.site.settings", "BELLSIDE_DEMO": "1"},
        capture_output=True,
        text=True,
        check=True,
    )
    assert done.stdout == "[]\n"
