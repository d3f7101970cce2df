"""Takes the README's pictures anew, from a fresh demo: .venv/bin/python .ci/pictures.py"""

import os
import re
import shutil
import socket
import subprocess
import sys
import tempfile
import time
import urllib.request
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from io import BytesIO
from pathlib import Path

from PIL import Image
from playwright.sync_api import Browser, Page, sync_playwright

ROOT = Path(__file__).resolve().parent.parent
PICTURES = ROOT / "fixtures" / "pictures"
APPLICATION = "accounts.site.wsgi:application"
PATIENCE = 120  # seconds until the demo has to answer


def main() -> None:
    PICTURES.mkdir(exist_ok=True)
    with demo() as (site, password, people), sync_playwright() as playwright:
        browser = playwright.chromium.launch(
            executable_path=shutil.which("chromium"), args=["--no-sandbox"]
        )
        for name, role, find in SHOWN:
            page = signed_in(browser, site, people[role], password)
            drawn = find(page)
            page.wait_for_timeout(1500)  # the recording's first frame, fonts
            keep(drawn or page.screenshot(), PICTURES / f"{name}.png")
            page.context.close()
        browser.close()


def desk(page: Page) -> None:
    begun = page.get_by_role("row").filter(has_text="half done")
    begun.get_by_role("link").first.click()
    page.wait_for_timeout(2000)  # until the recording can be sought
    for key in ("ArrowUp", "g", "ArrowDown"):  # to the moment of the last mark
        page.keyboard.press(key)


def feedback(page: Page) -> None:
    page.get_by_role("link", name=re.compile("^feedback")).first.click()


def hand_in(page: Page) -> bytes:
    page.get_by_role("link", name="Hand in your recording").click()
    page.get_by_label("Private link").fill(
        "https://recordings.demo.invalid/my-pulse-check.webm"
    )
    page.get_by_label("Private link").blur()  # leaving the link, it is tried
    page.get_by_text("The link plays here").wait_for()
    page.get_by_label("The person examined").check()
    page.wait_for_timeout(1500)
    return page.screenshot(full_page=True)


def pdf(page: Page) -> bytes:
    """The first page of the feedback's PDF, drawn by poppler."""
    feedback(page)
    with page.expect_download() as waiting:
        page.get_by_role("link", name=re.compile("PDF.*A4")).click()
    command = ["pdftoppm", "-r", "90", "-png", "-f", "1", "-l", "1"]
    return subprocess.check_output([*command, waiting.value.path()])  # noqa: S603 - our own command


def cohort(page: Page) -> None:
    page.locator("a[href*='/cohorts/']:not([href*=new])").first.click()
    page.get_by_label("Assignment").select_option("First examination, Autumn cohort")
    page.get_by_role("button", name="Show").click()


def builder(page: Page) -> None:
    page.get_by_role("link", name="Rubrics").click()
    page.get_by_role("link", name=re.compile("^Cardiovascular")).first.click()


# Each picture: its name, who is signed in, and how they come from home to the page.
SHOWN: list[tuple[str, str, Callable[[Page], bytes | None]]] = [
    ("home", "instructor", lambda page: None),
    ("builder", "course lead", builder),
    ("hand-in", "student", hand_in),
    ("desk", "instructor", desk),
    ("feedback", "student", feedback),
    ("pdf", "student", pdf),
    ("cohort", "course lead", cohort),
]


@contextmanager
def demo() -> Iterator[tuple[str, str, dict[str, str]]]:
    """A demo of its own: address, everybody's password, and each role's e-mail."""
    with tempfile.TemporaryDirectory() as folder, socket.socket() as free:
        free.bind(("127.0.0.1", 0))
        port = free.getsockname()[1]
        free.close()
        database = f"sqlite:///{folder}/demo.sqlite3"
        env = os.environ | {"BELLSIDE_DEMO": "1", "BELLSIDE_DATABASE": database}

        def manage(*words: str) -> str:
            command = [sys.executable, "manage.py", *words]
            return subprocess.check_output(command, cwd=ROOT, env=env, text=True)  # noqa: S603 - our own command

        manage("migrate", "--verbosity", "0")
        manage("collectstatic", "--noinput", "--verbosity", "0")
        told = manage("demo")
        people = dict(re.findall(r"^  (\w[\w ]*\w) +(\S+@\S+)", told, re.MULTILINE))
        granian = [sys.executable, "-m", "granian", "--interface", "wsgi"]
        server = subprocess.Popen(  # noqa: S603 - our own command
            [*granian, "--log-level", "warning", "--port", str(port), APPLICATION],
            cwd=ROOT,
            env=env,
        )
        try:
            wait_for(f"http://127.0.0.1:{port}/")
            password = re.search("password: (.*)", told)[1]
            yield f"http://127.0.0.1:{port}/", password, people
        finally:
            server.terminate()
            server.wait()


def wait_for(site: str) -> None:
    ends = time.monotonic() + PATIENCE
    while True:
        try:
            urllib.request.urlopen(site)  # noqa: S310 - our own http address
            return
        except OSError:
            if time.monotonic() > ends:
                raise
            time.sleep(0.5)


def signed_in(browser: Browser, site: str, email: str, password: str) -> Page:
    page = browser.new_page(viewport={"width": 1280, "height": 800})
    page.goto(site)
    page.get_by_label("E-mail").fill(email)
    page.locator("input[type=password]").fill(password)
    page.get_by_role("button", name="Sign in").click()
    page.wait_for_url(site)
    return page


def keep(screenshot: bytes, path: Path) -> None:
    """A palette of 128 colours keeps a page of text readable at a third of the weight.

    By octree, which keeps the few pixels that a glyph's colour has.
    """
    image = Image.open(BytesIO(screenshot)).convert("RGB")
    small = image.quantize(
        128, method=Image.Quantize.FASTOCTREE, dither=Image.Dither.NONE
    )
    small.save(path, optimize=True)


if __name__ == "__main__":
    main()
