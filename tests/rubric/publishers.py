"""Two people who publish one rubric at the same moment, in a store of their own.

    python -m tests.rubric.publishers same|other      with BELLSIDE_DATABASE

Prints how often each number was given, and how often publishing was refused: as JSON.
"""

import json
import sys
from threading import Barrier, Thread

import django

ROUNDS = 12


def main(how):
    from django.core.management import call_command
    from django.db import connections

    from accounts.models import Course, User
    from rubric.models import NotPublished, Rubric
    from tests.rubric.rubrics import set_node

    call_command("migrate", verbosity=0)
    course = Course.objects.create(title="Health assessment")
    people = [User.objects.create(email=f"{n}@b.example", name=n) for n in "ab"]
    pk = Rubric.bring_in(pulse_check(), course=course, by=people[0]).pk
    told = {"numbers": [], "refused": 0, "failed": []}
    barrier = Barrier(len(people))

    def publish(person):
        try:
            for n in range(ROUNDS):
                if how == "other" or person == people[0]:
                    change(set_node, Rubric.objects.get(pk=pk), n, person)
                barrier.wait(timeout=60)
                try:
                    edition = Rubric.objects.get(pk=pk).publish(by=person)
                    told["numbers"].append(edition.number)
                except NotPublished:
                    told["refused"] += 1
                barrier.wait(timeout=60)
        except Exception as failure:  # noqa: BLE001 (told to the test)
            told["failed"].append(repr(failure))
            barrier.abort()
        finally:
            connections.close_all()

    threads = [Thread(target=publish, args=[person]) for person in people]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    print(json.dumps(told))  # noqa: T201 (read by the test)


def pulse_check():
    from rubric.definition import read
    from tests.factories import PULSE_CHECK

    return read(PULSE_CHECK.read_bytes(), "rubric")


def change(set_node, rubric, n, person):
    """Another title, which no other change ever gave."""
    title = f"Pulses {n} by {person.name}"
    result = set_node(rubric, person, rubric.opened.nodes["sheet"], {"title": title})
    assert result["status"] in {"kept", "clash"}, result


if __name__ == "__main__":
    django.setup()
    main(sys.argv[1])
