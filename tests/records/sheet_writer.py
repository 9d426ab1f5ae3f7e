"""File sheets one after another and print each number once it is acknowledged.

Usage: sheet_writer.py WHERE FIRST_ID COUNT
"""

import sys
from datetime import UTC, datetime
from uuid import UUID

from trainer.records import Sheet, open_records

where, first, count = sys.argv[1], int(sys.argv[2]), int(sys.argv[3])
records = open_records(where)
print("ready", flush=True)
sys.stdin.readline()
for number in range(first, first + count):
    filed = records.add_sheet(Sheet(UUID(int=number), datetime.now(UTC), {"writer": first}))
    print(filed.number, flush=True)
