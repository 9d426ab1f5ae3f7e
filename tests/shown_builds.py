"""The builds of the house whose exploded view is judged: between them they hold many values of the options."""

from __future__ import annotations

PUMP = "end-suction/100-250"
BUILDS: list[dict[str, str]] = [
    {},
    {
        "bracket": "open",
        "discharge": "top-horizontal",
        "fixing": "acme",
        "back-plate": "one-casting",
        "drive-end": "coupling-hub",
    },
    {
        "impeller": "semi-open",
        "bearings": "roller-and-angular-pair",
        "fixing": "fine-thread",
        "bracket": "open",
    },
    {
        "priming": "vacuum-assisted",
        "bearings": "double-row-and-roller",
        "hub-ring": "balance-holes",
        "lubrication": "grease",
    },
    {
        "suction-cover": "cast-in",
        "discharge": "bottom-horizontal",
        "bracket": "open",
        "shaft-seal": "packed",
        "drive-end": "bell-housing",
    },
]
