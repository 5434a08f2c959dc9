"""An authority that fails leaves nothing signed, and the refusal says whose fault it is."""

from __future__ import annotations

import socket
import threading
import time

import pytest

from docgen.problem import Refused
from tests.signing.conftest import signed_by
from tests.signing.pki import authority


def _refusal(url: str, **changed: object) -> str:
    with pytest.raises(Refused) as refused:
        signed_by(authority().surgeon, level="B-T", tsa_url=url, **changed)
    (problem,) = refused.value.problems
    return problem.code


@pytest.mark.parametrize(
    ("damage", "code"),
    [
        ("broken", "authority-refused"),
        ("page", "authority-refused"),
        ("cut", "authority-refused"),
        ("refused", "authority-refused"),
        ("imprint", "stamp-broken"),
    ],
)
def test_a_bad_answer_is_refused(damage: str, code: str) -> None:
    """An error, a page of some proxy, half an answer, a no, or a stamp for something else."""
    with authority().stamping(damage=damage) as url:
        assert code == _refusal(url)


def test_nobody_answers() -> None:
    """No such name, nothing there."""
    with socket.socket() as taken:
        taken.bind(("127.0.0.1", 0))
        port = taken.getsockname()[1]

        assert "authority-unreachable" == _refusal(f"http://127.0.0.1:{port}/")
    assert "authority-unreachable" == _refusal("http://tsa.invalid/")


def test_who_does_not_answer_in_time_is_not_waited_for() -> None:
    """A server that takes the question and says nothing."""
    with socket.create_server(("127.0.0.1", 0)) as silent:
        thread = threading.Thread(target=_listen, args=(silent,))
        thread.start()
        began = time.monotonic()

        assert "authority-unreachable" == _refusal(f"http://127.0.0.1:{silent.getsockname()[1]}/", tsa_seconds=0.2)
        assert time.monotonic() - began < 10
        thread.join()


def _listen(server: socket.socket) -> None:
    with server.accept()[0] as one:
        while one.recv(4096):
            pass


@pytest.mark.parametrize("url", ["ftp://tsa.example.org/", "file:///etc/passwd", "tsa.example.org", "http://a:b@c/"])
def test_an_address_that_cannot_be_used_is_refused(url: str) -> None:
    """Only HTTP and HTTPS, and no password in an address."""
    assert "authority-address" == _refusal(url)
