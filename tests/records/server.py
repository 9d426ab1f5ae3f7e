"""A real PostgreSQL for the tests: in a temporary folder, by an ordinary user, reached by a socket in that folder."""

from __future__ import annotations

import os
import pwd
import secrets
import shutil
import signal
import subprocess
import tempfile
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
        options = f"-k {self.folder} -c listen_addresses= -c max_connections=60"
        self.run("pg_ctl", "-D", "data", "-w", "-t", "120", "-l", "log", "-o", options, "start")

    def kill(self) -> None:
        """Kill the server as a crash would: no process of it gets the time to write anything."""
        leader = int((self.folder / "data" / "postmaster.pid").read_text().split()[0])
        children = Path(f"/proc/{leader}/task/{leader}/children").read_text().split()
        for process in (leader, *map(int, children)):
            os.kill(process, signal.SIGKILL)

    def stop(self) -> None:
        self.run("pg_ctl", "-D", "data", "-w", "-m", "immediate", "stop")
        shutil.rmtree(self.folder, ignore_errors=True)

    def run(self, program: str, *arguments: str) -> None:
        # Not captured: the server would keep a pipe open for as long as it runs.
        log = self.folder / "setup.log"
        with log.open("ab") as out:
            subprocess.run(
                [str(self.programs / program), *arguments],
                cwd=self.folder,
                user=self.user,
                stdout=out,
                stderr=out,
                stdin=subprocess.DEVNULL,
                check=True,
            )
