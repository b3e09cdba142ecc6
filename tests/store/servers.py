"""A PostgreSQL server of our own: started for the tests, on a socket in a temporary folder, and gone after them.

In: the server programs of this machine. Out: a running server, and empty databases in it.
Not here: what is tested. No address of the network is listened on.
"""

from __future__ import annotations

import os
import pwd
import shutil
import subprocess
import tempfile
import time
from pathlib import Path

import psycopg

from reasoner.store.place import Place, place_of

USER = "keeper"
_PLACES = ("/usr/lib/postgresql", "/usr/local/pgsql", "/opt/homebrew/opt")


def programs() -> Path | None:
    """The folder of the server's programs; None where there is no server on this machine."""
    found = shutil.which("initdb")
    folders = [Path(os.path.realpath(found)).parent] if found else []
    folders += sorted((p for place in _PLACES for p in Path(place).glob("*/bin")), reverse=True)
    return next((f for f in folders if (f / "initdb").exists() and (f / "postgres").exists()), None)


def _room() -> str:
    """A folder with a short name, as a socket must have; in memory where there is room, for a server is a thousand files."""
    memory = Path("/dev/shm")
    if memory.is_dir() and os.access(memory, os.W_OK) and shutil.disk_usage(memory).free > 500_000_000:
        return str(memory)
    return "/tmp"


class Server:
    """One running server. It refuses to run as root, so that root lends it the name of somebody with less to lose."""

    def __init__(self, bin_folder: Path) -> None:
        self.bin = bin_folder
        self.folder = Path(tempfile.mkdtemp(prefix="pg-", dir=_room()))
        self.log = self.folder / "log"
        try:
            self._begin()
        except BaseException:
            self.stop()
            raise

    def _begin(self) -> None:
        self.process: subprocess.Popen[bytes] | None = None
        who = self._as_somebody()
        made = subprocess.run(
            [*who, str(self.bin / "initdb"), "-D", str(self.folder / "data"), "-U", USER, "--auth=trust", "-N",
             "-E", "UTF8", "--locale=C"],
            capture_output=True, text=True, check=False, cwd=self.folder,
        )  # fmt: skip
        assert made.returncode == 0, f"initdb did not succeed: {made.stderr}"
        settings = {"listen_addresses": "", "unix_socket_directories": str(self.folder), "fsync": "off",
                    "shared_buffers": "16MB", "max_connections": "40", "max_wal_size": "64MB"}  # fmt: skip
        words = [word for key, value in settings.items() for word in ("-c", f"{key}={value}")]
        with self.log.open("wb") as log:
            self.process = subprocess.Popen(
                [*who, str(self.bin / "postgres"), "-D", str(self.folder / "data"), *words],
                stdout=log, stderr=log, cwd=self.folder,
            )  # fmt: skip
        until = time.monotonic() + 60
        while True:
            try:
                self.sql("SELECT 1")
                return
            except psycopg.OperationalError:
                assert self.process.poll() is None, f"the server ended: {self.log.read_text()}"
                assert time.monotonic() < until, f"the server does not answer: {self.log.read_text()}"
                time.sleep(0.05)

    def _as_somebody(self) -> list[str]:
        # Whatever becomes of the tests, the server ends with them.
        with_us = ["setpriv", "--pdeathsig", "INT"] if shutil.which("setpriv") else []
        if os.geteuid() != 0:
            return with_us
        names = {entry.pw_name: entry for entry in pwd.getpwall()}
        one = names.get("postgres") or names["nobody"]
        os.chown(self.folder, one.pw_uid, one.pw_gid)
        assert with_us, "setpriv is needed to run a server's programs as somebody else"
        return [*with_us, "--reuid", str(one.pw_uid), "--regid", str(one.pw_gid), "--clear-groups"]

    def sql(self, line: str) -> None:
        """One statement, outside of any transaction."""
        address = f"host={self.folder} user={USER} dbname=postgres"
        with psycopg.connect(address, autocommit=True) as connection:
            connection.execute(line.encode())

    def at_rest(self) -> None:
        """Wait until no client is left: what a killed one had asked for goes on until the server has noticed its end."""
        until = time.monotonic() + 60
        address = f"host={self.folder} user={USER} dbname=postgres"
        with psycopg.connect(address, autocommit=True) as connection:
            while connection.execute(
                b"SELECT 1 FROM pg_stat_activity WHERE pid <> pg_backend_pid() AND backend_type = 'client backend'"
            ).fetchall():
                assert time.monotonic() < until, "a client is still there"
                time.sleep(0.02)

    def database(self) -> Place:
        """An empty database: the only one there is, so that whatever an earlier test left in it goes."""
        self.sql(
            "SELECT pg_terminate_backend(pid) FROM pg_stat_activity WHERE pid <> pg_backend_pid() AND datname IS NOT NULL"
        )
        self.sql("DROP SCHEMA public CASCADE")
        self.sql("CREATE SCHEMA public")
        return place_of(f"postgresql://{USER}@/postgres?host={self.folder}")

    def stop(self) -> None:
        """End it, and take its folder away."""
        if self.process is not None and self.process.poll() is None:
            self.process.send_signal(3)  # SIGQUIT: at once; nothing in it is wanted any more
            try:
                self.process.wait(20)
            except subprocess.TimeoutExpired:
                self.process.kill()
                self.process.wait()
        shutil.rmtree(self.folder, ignore_errors=True)
