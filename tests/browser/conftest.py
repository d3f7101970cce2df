"""A browser, a real server for the whole run, and people who are signed in.

site                    the server (tests/browser/site.py); `site.make` makes things there
demo                    a server on a copy of the loaded demo, for the tests of one file
open_as(path, ...)      a page in a browser context of its own, signed in as somebody
open_rubric(file, ...)  the builder there, on a rubric of its own
"""

import functools
import http.server
import threading
import time
import uuid
from pathlib import Path

import pytest
from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import expect

from tests.browser.site import Site

PAGES = Path(__file__).parent / "pages"
# They are for the server's own processes, and make no sense inside this one.
collect_ignore = ["settings.py", "school.py"]


@pytest.fixture(scope="session")
def browser_type_launch_args(browser_type_launch_args):
    return browser_type_launch_args | {
        "executable_path": "/usr/bin/chromium",
        "args": ["--no-sandbox", "--autoplay-policy=no-user-gesture-required"],
    }


class Quiet(http.server.SimpleHTTPRequestHandler):
    def log_message(self, *args):
        pass


@pytest.fixture(scope="session")
def host():
    """A recording host on another origin: its frame and its files."""
    handler = functools.partial(Quiet, directory=PAGES)
    with http.server.ThreadingHTTPServer(("127.0.0.1", 0), handler) as server:
        thread = threading.Thread(target=server.serve_forever)
        thread.start()
        yield f"http://127.0.0.1:{server.server_port}"
        server.shutdown()
        thread.join()


@pytest.fixture(scope="session")
def site(tmp_path_factory, host):
    hosts = [
        {
            "name": "a host that speaks player.js",
            "pattern": r"https://host\.example/(?P<id>\w+)",
            "plays": "frame",
            "address": f"{host}/frame.html?{{id}}",
            "messages": {"preset": "player.js"},
        },
        {
            "name": "a host with messages of its own, and a speed",
            "pattern": r"https://other\.example/(?P<id>\w+)",
            "plays": "frame",
            "address": f"{host}/own-frame.html?{{id}}",
            "messages": {
                "ready": {"say": "here"},
                "play": {"do": "run"},
                "pause": {"do": "rest"},
                "seek": {"do": "jump", "to": "{seconds}"},
                "speed": {"do": "pace", "rate": "{speed}"},
                "time": {
                    "match": {"say": "tick"},
                    "seconds": "clock.at",
                    "length": "clock.of",
                },
                "playing": {"say": "runs"},
                "paused": {"say": "rests"},
            },
        },
    ]
    with Site(tmp_path_factory.mktemp("site"), hosts) as site:
        yield site


@pytest.fixture(scope="session")
def loaded_demo(tmp_path_factory):
    """A site that holds the demo. It is not served: what is served is a copy."""
    site = Site(tmp_path_factory.mktemp("loaded"))
    site.set_up()
    site.run("demo")
    return site


@pytest.fixture(scope="module")
def demo(tmp_path_factory, loaded_demo):
    with Site(tmp_path_factory.mktemp("demo"), copy_of=loaded_demo) as site:
        yield site


@pytest.fixture
def open_as(site, browser):
    """`open_as("/", name="Ivo Pell", role="instructor", width=1440, theme="light")`."""
    contexts = []

    def opened(
        path, name="Ivo Pell", role="instructor", width=1440, height=900, theme="light"
    ):
        session = site.make.session(name=name, role=role)["session"]
        context = browser.new_context(
            color_scheme=theme, viewport={"width": width, "height": height}
        )
        context.add_cookies(
            [{"name": "sessionid", "value": session, "url": site.address}]
        )
        contexts.append(context)
        page = context.new_page()
        page.faults = []
        page.on("pageerror", lambda error: page.faults.append(str(error)))
        page.on("console", lambda said: _hear(page, said))
        page.goto(site.address + path)
        return page

    yield opened
    faults = [
        fault for c in contexts for p in c.pages for fault in getattr(p, "faults", [])
    ]
    for context in contexts:
        context.close()
    assert not faults, faults


@pytest.fixture
def open_rubric(open_as, site):
    """`open_rubric("knee.yaml", width=360)`: the builder, on a rubric of its own.

    `page.rubric` is its key in the store.
    """

    def opened(file=None, name="Lena Voss", role="lead", rubric=None, **described):
        made = rubric or site.make.rubric(file=file, title=f"Rubric {uuid.uuid4()}")
        page = open_as(made["address"], name=name, role=role, **described)
        page.made = made
        page.rubric = made["pk"]
        expect(page.locator("rubric-builder[data-ready]")).to_be_attached()
        return page

    return opened


def _hear(page, said):
    """Errors of scripts and of the policy count; a lost network is part of some tests."""
    if said.type == "error" and "Failed to load resource" not in said.text:
        page.faults.append(said.text)


@pytest.fixture
def check_axe():
    """Fails with what axe finds on a page."""

    def check(page):
        found = Axe().run(page)
        assert not found.violations_count, found.generate_report()

    return check


def sideways(page):
    """How many pixels the page is wider than its window."""
    return page.evaluate(
        "document.documentElement.scrollWidth - document.documentElement.clientWidth"
    )


def until(page, expression, seconds=20):
    """Wait until the page finds the expression true; its policy forbids to wait inside."""
    deadline = time.monotonic() + seconds
    while not page.evaluate(expression):
        assert time.monotonic() < deadline, f"never true: {expression}"
        page.wait_for_timeout(50)
