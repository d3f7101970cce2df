"""The site as it runs, with its collected files in a folder of the test's own."""

import os

from accounts.site.settings import *  # noqa: F403

STATIC_ROOT = os.environ["BELLSIDE_TEST_STATIC"]
