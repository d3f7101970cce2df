"""A server whose worker may be killed at any moment: the next one takes over at once.

    python -m tests.killable      with BELLSIDE_DATABASE naming the store

The parent holds the socket and the imported site, and forks one worker after the other,
as preforking servers do. It prints the port, then each worker's process id, and ends
when its standard input is closed.
"""

import os
import select
import signal
import socket
import sys
from socketserver import ThreadingMixIn
from wsgiref.simple_server import WSGIRequestHandler, WSGIServer


class Quiet(WSGIRequestHandler):
    def log_message(self, *args):
        pass


class Worker(ThreadingMixIn, WSGIServer):
    daemon_threads = True

    def server_bind(self):
        self.server_name, self.server_port = "127.0.0.1", self.server_address[1]
        self.setup_environ()


def work(listening):
    from accounts.site.wsgi import application

    server = Worker(listening.getsockname(), Quiet, bind_and_activate=False)
    server.socket.close()
    server.socket = listening
    server.server_bind()
    server.set_app(application)
    server.serve_forever()


def warm_up():
    """What a first request would have to load, so that no worker dies of loading it."""
    from django.db import connections
    from django.urls import get_resolver

    import accounts.site.wsgi  # noqa: F401 (imported once, before the first fork)
    from rubric.models import Edition, definition_of

    assert get_resolver().url_patterns
    for edition in Edition.objects.all():
        definition_of(edition)
    connections.close_all()


def main():
    warm_up()
    listening = socket.create_server(("127.0.0.1", 0), backlog=64)
    print(listening.getsockname()[1], flush=True)  # noqa: T201 (read by the test)
    ended, tell = os.pipe()
    # Written by the signal itself: a handler of Python's would run too late for select.
    os.set_blocking(tell, False)
    signal.set_wakeup_fd(tell)
    signal.signal(signal.SIGCHLD, lambda *_: None)
    while True:
        worker = os.fork()
        if worker == 0:
            signal.set_wakeup_fd(-1)
            signal.signal(signal.SIGCHLD, signal.SIG_DFL)
            work(listening)
        print(worker, flush=True)  # noqa: T201
        ready, _, _ = select.select([ended, sys.stdin], [], [])
        if sys.stdin in ready:
            os.kill(worker, signal.SIGKILL)
            return
        os.read(ended, 1)
        os.waitpid(worker, 0)


if __name__ == "__main__":
    main()
