"""A real PostgreSQL for the tests: in a temporary folder, by an ordinary user, reached by a socket in that folder."""

from __future__ import annotations

import os
import pwd
import secrets
import shutil
import signal
import subprocess
import tempfile
import threading
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

USER = "pump.wright"
DATABASE = "depot"


def find_programs() -> Path | None:
    """Find the folder with PostgreSQL's own programs, the newest; Debian keeps them off the path."""
    on_path = shutil.which("initdb")
    if on_path:
        return Path(on_path).resolve().parent
    found = sorted(
        Path("/usr/lib/postgresql").glob("*/bin/initdb"), key=lambda one: float(one.parts[-3])
    )
    return found[-1].parent if found else None


class Server:
    """One server for a run of tests. Nothing is set faster than it is safe: what is killed here must come back."""

    def __init__(self, programs: Path) -> None:
        self.programs = programs
        self.folder = Path(tempfile.mkdtemp(prefix="pumpwright-pg-"))
        self.password = f"geheim-{secrets.token_hex(6)}"
        self.user: str | None = None
        self.said: list[str] = []
        if os.geteuid() == 0:  # PostgreSQL refuses to run as root
            known = {one.pw_name for one in pwd.getpwall()}
            self.user = "postgres" if "postgres" in known else "nobody"
            shutil.chown(self.folder, self.user)
        word = self.folder / "word"
        word.write_text(self.password)
        word.chmod(0o644)
        self.run("initdb", "-D", "data", "-U", USER, "-E", "UTF8", "--locale=C.UTF-8",
                 "-A", "scram-sha-256", "--pwfile=word")  # fmt: skip
        self.start()
        self.sql(f"CREATE DATABASE {DATABASE}", database="postgres")

    def make_url(
        self, schema: str = "", *, password: str | None = None, database: str = DATABASE
    ) -> str:
        url = f"postgresql://{USER}:{password or self.password}@/{database}?host={self.folder}"
        return url + f"&options=-csearch_path%3D{schema}" if schema else url

    def sql(self, *statements: str, database: str = DATABASE) -> list[tuple[object, ...]]:
        """Run statements past the program, as its owner might; gives what the last one found."""
        import psycopg

        with psycopg.connect(self.make_url(database=database), autocommit=True) as connection:
            for statement in statements:
                found = connection.execute(statement.encode())
            return found.fetchall() if found.description else []

    def start(self) -> None:
        """Start it as a child of our own, so that once killed it is gone: nobody else need reap it."""
        settings = {
            "unix_socket_directories": str(self.folder),
            "listen_addresses": "",
            "max_connections": "60",
        }
        chosen = [part for name, value in settings.items() for part in ("-c", f"{name}={value}")]
        self.process = subprocess.Popen(
            [str(self.programs / "postgres"), "-D", "data", *chosen],
            cwd=self.folder,
            user=self.user,
            stdin=subprocess.DEVNULL,
            stdout=subprocess.DEVNULL,
            stderr=subprocess.PIPE,
            text=True,
        )
        is_ready = threading.Event()
        threading.Thread(target=self._follow, args=(self.process, is_ready), daemon=True).start()
        if not is_ready.wait(120) or self.process.poll() is not None:
            raise RuntimeError("PostgreSQL did not start:\n" + "".join(self.said[-20:]))

    def _follow(self, process: subprocess.Popen[str], is_ready: threading.Event) -> None:
        assert process.stderr is not None
        with process.stderr:
            for line in process.stderr:
                self.said.append(line)
                if "ready to accept connections" in line:
                    is_ready.set()
        is_ready.set()  # it has ended: whoever waits looks whether it runs

    def kill(self) -> None:
        """Kill the server as a crash would: no process of it gets the time to write anything."""
        leader = self.process.pid
        children = Path(f"/proc/{leader}/task/{leader}/children").read_text().split()
        for process in (leader, *map(int, children)):
            os.kill(process, signal.SIGKILL)
        self.process.wait()
        while any(is_running(int(child)) for child in children):
            continue

    def stop(self) -> None:
        self.process.send_signal(signal.SIGQUIT)  # at once: nothing of it is wanted any more
        self.process.wait()
        shutil.rmtree(self.folder, ignore_errors=True)

    def run(self, program: str, *arguments: str) -> None:
        subprocess.run(
            [str(self.programs / program), *arguments],
            cwd=self.folder,
            user=self.user,
            capture_output=True,
            stdin=subprocess.DEVNULL,
            check=True,
        )


def is_running(process: int) -> bool:
    """Does a process run? One that has ended and is not reaped yet does not."""
    try:
        return Path(f"/proc/{process}/stat").read_text().rpartition(") ")[2][0] != "Z"
    except OSError:
        return False


LENT: list[Server] = []


@contextmanager
def lend_server(programs: Path) -> Iterator[Server]:
    """Lend the one server of this run: begun for whoever asks first, ended when the last has given it back."""
    server = LENT[0] if LENT else Server(programs)
    LENT.append(server)
    try:
        yield server
    finally:
        LENT.pop()
        if not LENT:
            server.stop()
