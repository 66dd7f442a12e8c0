"""The rack: material on hand, and the ledger of what came, went and came back.

A *ledger* is one file. It is only ever added to: each command is an *action*, whose *events* say what happened to
single pieces; how things stand follows from the events. `ledger` opens one and reads it, `acts`, `counting`, `booking`
and `undoing` add to it, `verify` goes through all of it, `backup` keeps copies. Only `RackPiece`, which jobs and plans
are made of, is loaded with this package.
"""

from stock.rack.piece import RackPiece, RackVersion

__all__ = ["RackPiece", "RackVersion"]
