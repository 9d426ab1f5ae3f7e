"""Add attempts one after another and print each id once it is acknowledged.

Usage: steady_writer.py FILE FIRST_NUMBER COUNT
"""

import sys
from pathlib import Path

from conftest import make_attempt  # type: ignore[import-not-found] # lies beside this script

from trainer.records import open_records

file, first_number, count = Path(sys.argv[1]), int(sys.argv[2]), int(sys.argv[3])
records = open_records(file)
print("ready", flush=True)
sys.stdin.readline()
for number in range(first_number, first_number + count):
    records.add_attempt(make_attempt(number, person=f"Learner {number % 5}"))
    print(number, flush=True)
