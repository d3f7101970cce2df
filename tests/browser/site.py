"""A real server on a database of its own, and a person who makes things in it."""

import contextlib
import json
import os
import shutil
import signal
import socket
import subprocess
import sys
import time
from pathlib import Path

ROOT = Path(__file__).parents[2]


class Site:
    """`address` is where the site answers; `site.make.marking(...)` makes one there."""

    def __init__(self, folder, hosts=(), database=None, copy_of=None):
        described = folder / "hosts.json"
        described.write_text(json.dumps(list(hosts)))
        self.environment = os.environ | {
            "BELLSIDE_DATABASE": database or f"sqlite:///{folder}/site.sqlite3",
            "BELLSIDE_DEMO": "1",
            "BELLSIDE_RECORDING_HOSTS": str(described),
            "BELLSIDE_TEST_STATIC": str(folder / "static"),
            "DJANGO_SETTINGS_MODULE": "tests.browser.settings",
            "PYTHONPATH": str(ROOT),
        }
        self.port = free_port()
        self.address = f"http://127.0.0.1:{self.port}"
        self._server = None
        self.folder = folder
        self._origin = copy_of

    def __enter__(self):
        self.set_up()
        self.make = Maker(self.environment)
        self.start()
        return self

    def __exit__(self, *_):
        self.stop()
        self.make.close()

    def set_up(self):
        if self._origin is None:
            self.run("collectstatic", "--noinput", "--verbosity", "0")
            self.run("migrate", "--verbosity", "0")
        else:
            kept = "BELLSIDE_TEST_STATIC"
            self.environment[kept] = self._origin.environment[kept]
            shutil.copy(self._origin.folder / "site.sqlite3", self.folder)

    def run(self, *words):
        """Runs a command of manage.py; its output."""
        return subprocess.check_output(
            [sys.executable, "manage.py", *words],
            cwd=ROOT,
            env=self.environment,
            text=True,
        )

    def start(self):
        """Serve, and wait until it answers."""
        self._server = subprocess.Popen(
            [
                *(sys.executable, "-m", "granian", "--interface", "wsgi"),
                *("--host", "127.0.0.1", "--port", str(self.port)),
                *("--blocking-threads", "4", "--log-level", "warning"),
                "accounts.site.wsgi:application",
            ],
            cwd=ROOT,
            env=self.environment,
            start_new_session=True,
        )
        deadline = time.monotonic() + 60
        while True:
            try:
                with socket.create_connection(("127.0.0.1", self.port), timeout=5):
                    return
            except OSError:
                if time.monotonic() > deadline:
                    raise
                time.sleep(0.1)

    def stop(self):
        if self._server:
            self._server.terminate()
            self._server.wait(timeout=30)
            # A worker that was slow to end goes with its group.
            with contextlib.suppress(ProcessLookupError):
                os.killpg(self._server.pid, signal.SIGKILL)
            self._server = None


class Maker:
    """Calls the functions of tests/browser/school.py in a process of its own."""

    def __init__(self, environment):
        self._process = subprocess.Popen(
            [sys.executable, "-m", "tests.browser.school"],
            cwd=ROOT,
            env=environment,
            stdin=subprocess.PIPE,
            stdout=subprocess.PIPE,
            text=True,
        )

    def __getattr__(self, name):
        def call(**arguments):
            self._process.stdin.write(json.dumps([name, arguments]) + "\n")
            self._process.stdin.flush()
            return json.loads(self._process.stdout.readline())

        return call

    def close(self):
        with self._process:
            self._process.stdin.close()


def free_port():
    with socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))
        return probe.getsockname()[1]
