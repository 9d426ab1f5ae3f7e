"""Make the stored covering lists anew: `python -m models.coverings [FAMILY ...]`. To be run when options change."""

from __future__ import annotations

import sys

from models.builds import FAMILIES
from models.spec.build import TABLES
from models.spec.covering import has_many, write_covering


def main(names: list[str]) -> None:
    """Write the list of each family named, of all that need one when none is."""
    for name in names or [name for name, family in FAMILIES.items() if has_many(family)]:
        sys.stdout.write(f"{write_covering(TABLES, FAMILIES[name])}\n")


if __name__ == "__main__":
    main(sys.argv[1:])
