"""Add attempts one after another, and with each fifth a sign-off and a sheet; print each id once it is acknowledged.

Usage: steady_writer.py WHERE FIRST_NUMBER COUNT
"""

import sys

from tests.records.samples import make_attempt, make_sheet, make_sign_off
from trainer.records import open_records

SIGNED = 1_000_000

where, first_number, count = sys.argv[1], int(sys.argv[2]), int(sys.argv[3])
records = open_records(where)
print("ready", flush=True)
sys.stdin.readline()
for number in range(first_number, first_number + count):
    records.add_attempt(make_attempt(number, person=f"Learner {number % 5}"))
    if number % 5 == 0:
        records.add_sign_off(make_sign_off(SIGNED + number))
        records.add_sheet(make_sheet(number))
    print(number, flush=True)
