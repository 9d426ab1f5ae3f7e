"""Make the stored covering lists anew: `python -m models.pumps.coverings [FAMILY ...]`. To be run when options change."""

from __future__ import annotations

import sys

from models.pumps import FAMILIES
from models.spec.build import TABLES
from models.spec.covering import write_covering


def main(names: list[str]) -> None:
    """Write the list of each family named, of all when none is."""
    for name in names or FAMILIES:
        sys.stdout.write(f"{write_covering(TABLES, FAMILIES[name])}\n")


if __name__ == "__main__":
    main(sys.argv[1:])
