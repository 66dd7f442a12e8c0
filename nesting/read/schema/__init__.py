"""The tables of a job as data: what the readers accept, the template shows and the manual lists."""

from __future__ import annotations

from nesting.read.schema.asked import ASSEMBLIES, HOLES, PARTS
from nesting.read.schema.kinds import Column, Kind, Setting, Table
from nesting.read.schema.settings import RATE_SETTINGS, SETTINGS, SHOP
from nesting.read.schema.supply import ALLOW, OFFERS, RACK, SAWS, YARDS

TABLES = (PARTS, HOLES, ASSEMBLIES, OFFERS, YARDS, RACK, SAWS, ALLOW, SHOP)
"""In the order of the template and of the messages."""

__all__ = [
    "ALLOW",
    "ASSEMBLIES",
    "HOLES",
    "OFFERS",
    "PARTS",
    "RACK",
    "RATE_SETTINGS",
    "SAWS",
    "SETTINGS",
    "SHOP",
    "TABLES",
    "YARDS",
    "Column",
    "Kind",
    "Setting",
    "Table",
]
