"""The builds of the house whose exploded view is judged: between them they hold many values of the options."""

from __future__ import annotations

PUMP = "end-suction/100-250"
BUILDS: list[dict[str, str]] = [
    {},
    {"bracket": "open", "discharge": "top-horizontal", "fixing": "acme"},
    {
        "impeller": "semi-open",
        "bearings": "roller-and-angular-pair",
        "fixing": "fine-thread",
        "bracket": "open",
    },
]
