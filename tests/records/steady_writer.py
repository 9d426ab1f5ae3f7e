"""Add attempts one after another and print each id once it is acknowledged.

Usage: steady_writer.py WHERE FIRST_NUMBER COUNT
"""

import sys

from tests.records.conftest import make_attempt
from trainer.records import open_records

where, first_number, count = sys.argv[1], int(sys.argv[2]), int(sys.argv[3])
records = open_records(where)
print("ready", flush=True)
sys.stdin.readline()
for number in range(first_number, first_number + count):
    records.add_attempt(make_attempt(number, person=f"Learner {number % 5}"))
    print(number, flush=True)
