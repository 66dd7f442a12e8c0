"""The error tree of the project.

::

    SteelyardError
    ├── BadValue (ValueError)      one value that cannot be understood; the text says what is allowed
    │   ├── BadLength
    │   ├── BadMaterial            carries near designations
    │   ├── BadPrice
    │   └── RackRefused            the rack ledger does not do that; the text says why, and nothing is changed
    │       └── RackAbsent         there is no ledger yet
    ├── RackTrouble                the rack ledger cannot be used as it stands, exit code 1
    │   ├── RackBusy               another command held it for too long
    │   └── RackBroken             the file is damaged
    └── (nesting.findings)
        ├── InputError             all findings about a user's job, exit code 2
        ├── OutputError            a result could not be written, exit code 1
        └── PlanBroken             the checker found a breach: the program's own fault, exit code 1
"""

from __future__ import annotations


class SteelyardError(Exception):
    """Root of every error this project raises on purpose."""


class BadValue(SteelyardError, ValueError):
    """One value that cannot be understood; the message says what is allowed and what to do."""


class BadLength(BadValue):
    """A text that is not a length, or a length off the exact grid."""


class BadPrice(BadValue):
    """A price that cannot be compared with others."""


class BadMaterial(BadValue):
    """A designation that names no known material.

    Parameters
    ----------
    message
        What is wrong and what is allowed.
    near
        Canonical designations that the user may have meant, best first.
    """

    def __init__(self, message: str, near: tuple[str, ...] = ()) -> None:
        super().__init__(message)
        self.near = near


class RackRefused(BadValue):
    """Something that the rack ledger does not do: an unknown id, a piece taken twice. Nothing is changed."""


class RackAbsent(RackRefused):
    """There is no rack ledger at that place yet."""


class RackTrouble(SteelyardError):
    """The rack ledger cannot be read or written as things stand (a full or read-only disk). Nothing is changed."""


class RackBusy(RackTrouble):
    """Another command held the rack ledger for longer than one waits."""


class RackBroken(RackTrouble):
    """The file of the rack ledger is damaged, or was not written by this program."""
