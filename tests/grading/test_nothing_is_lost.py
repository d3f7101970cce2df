"""Nothing acknowledged is lost, however often the server is killed while marking."""

import http.client
import json
import os
import random
import signal
import subprocess
import sys
import threading
import time
from contextlib import contextmanager
from pathlib import Path
from urllib.parse import urlsplit
from uuid import uuid4

import pytest

ROOT = Path(__file__).parents[2]
KILLS = 200


@pytest.fixture
def school(database):
    """One marking to make, and what is needed to send saves for it."""
    environment = os.environ | {
        "BELLSIDE_DATABASE": database,
        "BELLSIDE_DEMO": "1",
        "DJANGO_SETTINGS_MODULE": "accounts.site.settings",
        "PYTHONPATH": str(ROOT),
        # Hashed names need collectstatic, and nothing here fetches a static file.
        "PYTHONWARNINGS": "ignore",
    }

    def run(*words):
        return subprocess.run(
            [sys.executable, *words],
            cwd=ROOT,
            env=environment,
            check=True,
            capture_output=True,
            text=True,
        ).stdout

    run("manage.py", "migrate", "--verbosity", "0")
    made = json.loads(run("-m", "tests.browser.school", "marking"))
    return (
        environment,
        made,
        lambda: json.loads(run("-m", "tests.browser.school", "kept")),
    )


@contextmanager
def served(environment):
    """A killable server: its port, and a list whose last item is the living worker."""
    parent = subprocess.Popen(
        [sys.executable, "-m", "tests.killable"],
        cwd=ROOT,
        env=environment,
        stdin=subprocess.PIPE,
        stdout=subprocess.PIPE,
        text=True,
    )
    with parent:
        port = int(parent.stdout.readline())
        workers = [int(parent.stdout.readline())]

        def follow():
            workers.extend(map(int, parent.stdout))

        reader = threading.Thread(target=follow)
        reader.start()
        try:
            yield port, workers
        finally:
            parent.stdin.close()
            reader.join()


class Desk:
    """Sends like the desk's outbox: in order, again and again until acknowledged."""

    def __init__(self, port, made):
        self.port = port
        self.made = made
        self.known = {}
        self.acknowledged = {}
        self.cut_off = 0
        self.usual = 0.05  # seconds of a save, as the last ones took

    def change(self, target, value):
        change = {
            "id": str(uuid4()),
            "target": target,
            "after": self.known.get(target),
            "value": value,
        }
        self.known[target] = change["id"]
        return change

    def send(self, changes):
        while True:
            begun = time.perf_counter()
            try:
                answer = self._post(changes)
                self.usual += (time.perf_counter() - begun - self.usual) / 8
                break
            except (OSError, http.client.HTTPException, ValueError):
                self.cut_off += 1
                assert self.cut_off < 20 * KILLS, "no save gets through any more"
                self.usual *= 1.05  # a machine so busy that no save gets through
        assert answer["refused"] == []
        for change in changes:
            assert change["id"] in answer["acknowledged"]
            self.acknowledged[change["id"]] = change

    def _post(self, changes):
        connection = http.client.HTTPConnection("127.0.0.1", self.port, timeout=20)
        body = {"person": self.made["person"], "version": 0, "changes": changes}
        try:
            connection.request(
                "POST",
                urlsplit(self.made["save"]).path,
                json.dumps(body),
                {
                    "Content-Type": "application/json",
                    "Accept": "application/json",
                    "Cookie": f"sessionid={self.made['session']}; csrftoken={self.made['csrf']}",
                    "X-CSRFToken": self.made["csrf"],
                },
            )
            response = connection.getresponse()
            assert response.status == 200, response.read()
            return json.loads(response.read())
        finally:
            connection.close()


def test_nothing_acknowledged_is_lost_when_the_server_is_killed_200_times(school):
    environment, made, kept = school
    chance = random.Random()  # noqa: S311 (moments, not secrets)
    kills = 0
    over = threading.Event()

    def kill(workers, desk):
        nonlocal kills
        while not over.is_set() and kills < KILLS:
            over.wait(chance.uniform(0, 4 * desk.usual))
            if len(workers) > kills:
                os.kill(workers[-1], signal.SIGKILL)
                kills = len(workers)

    with served(environment) as (port, workers):
        desk = Desk(port, made)
        killer = threading.Thread(target=kill, args=[workers, desk])
        killer.start()
        number = 0
        try:
            while kills < KILLS:
                number += 1
                targets = chance.sample(made["elements"], chance.randint(1, 3))
                value = {"state": "done", "at": number, "speed": 1}
                desk.send([desk.change(f"element:{key}", value) for key in targets])
        finally:
            over.set()
            killer.join()
    found = kept()
    # The moments were within saves, and yet many saves were acknowledged.
    assert desk.cut_off >= KILLS / 4
    assert len(desk.acknowledged) >= KILLS
    assert sorted(found["changes"]) == sorted(desk.acknowledged)
    assert {t: e["change"] for t, e in found["targets"].items()} == desk.known
    assert found["audit"] == "unbroken"
