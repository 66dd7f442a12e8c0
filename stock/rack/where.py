"""Where the ledger lies, and whether a file system can be trusted with it."""

from __future__ import annotations

import os
import subprocess
import sys
from collections.abc import Iterable
from pathlib import Path

from platformdirs import user_data_path

from stock.errors import RackRefused

VARIABLE = "STEELYARD_RACK"
"""Environment variable that names the ledger of a user who keeps it elsewhere."""

_NETWORK = frozenset(
    {"nfs", "nfs4", "cifs", "smb", "smb2", "smb3", "smbfs", "afs", "afpfs", "ncpfs", "davfs", "webdav"}
    | {"ceph", "glusterfs", "lustre", "gpfs", "ocfs2"}
    | {"fuse.sshfs", "fuse.rclone", "fuse.davfs", "fuse.glusterfs", "fuse.s3fs", "fuse.curlftpfs"}
)
_REMOTE_DRIVE = 4
"""What Windows calls a drive that is a share."""


def default_rack() -> Path:
    """The ledger of this user: what the environment names, or a file in the user's data folder."""
    named = os.environ.get(VARIABLE)
    return Path(named) if named else user_data_path("steelyard", appauthor=False) / "rack.sqlite"


def refuse_network(file: Path) -> None:
    """Raise RackRefused if the file lies on a network file system.

    Locks are not to be relied on there (sqlite.org/lockingv3.html, published), and without them two commands at once
    could use one piece twice.
    """
    kind = network_kind(file)
    if kind:
        raise RackRefused(
            f"{file} lies on a network file system ({kind}), where two computers could use one piece twice, since "
            "locks do not hold there; keep the ledger on a disk of this computer and name it with --rack, and share "
            "it with `steelyard rack export`"
        )


def network_kind(file: Path) -> str:
    """The kind of network file system on which a file lies or would lie; "" if it lies on none that is known."""
    place = file.absolute()
    while not place.exists() and place != place.parent:
        place = place.parent
    place = place.resolve()
    if sys.platform == "win32":
        return _windows_kind(place)
    if sys.platform == "darwin":
        listed = subprocess.run(["/sbin/mount"], capture_output=True, text=True, check=False).stdout
        return kind_at(place, _bsd_mounts(listed))
    try:
        listed = Path("/proc/self/mounts").read_text(encoding="utf-8", errors="surrogateescape")
    except OSError:  # a system without such a list has no mounts that could be told apart
        return ""
    return kind_at(place, _linux_mounts(listed))


def kind_at(place: Path, mounts: Iterable[tuple[str, str]]) -> str:
    """The kind of the mount that holds a place, if it is a network's; of mounts (point, kind) the deepest counts.

    >>> kind_at(Path("/home/ann/rack"), [("/", "ext4"), ("/home", "nfs4")])
    'nfs4'
    """
    holding = [
        (len(point), at, kind)
        for at, (point, kind) in enumerate(mounts)
        if place.is_relative_to(point) and kind != "autofs"
    ]
    kind = max(holding)[2] if holding else ""
    return kind if kind in _NETWORK else ""


def _linux_mounts(text: str) -> Iterable[tuple[str, str]]:
    for line in text.splitlines():
        _, point, kind, *_ = line.split(" ")
        yield point.replace("\\040", " ").replace("\\011", "\t").replace("\\134", "\\"), kind


def _bsd_mounts(text: str) -> Iterable[tuple[str, str]]:
    """Lines such as `//ann@server/share on /Volumes/share (smbfs, nodev, nosuid)`."""
    for line in text.splitlines():
        _, _, rest = line.partition(" on ")
        point, _, words = rest.rpartition(" (")
        if point:
            yield point, words.split(",")[0].rstrip(")").strip()


def _windows_kind(place: Path) -> str:
    if place.drive.startswith("\\\\"):
        return "a network share"
    if sys.platform == "win32":
        import ctypes

        if ctypes.windll.kernel32.GetDriveTypeW(f"{place.drive}\\") == _REMOTE_DRIVE:
            return "a network drive"
    return ""
