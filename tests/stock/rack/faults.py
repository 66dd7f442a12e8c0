"""A disk that fails, or a power cord that is pulled, at a chosen write of SQLite or of Python.

SQLite lets its calls to the system be replaced (sqlite.org/c3ref/vfs.html, published: xSetSystemCall), and Python tells
an audit hook before it opens, renames or removes a file. Every such call that writes is a *point*, counted from 1.
"""

from __future__ import annotations

import ctypes
import errno
import os
import signal
import sys
from collections.abc import Callable
from typing import Any

_READS = 14
"""Pointers of `sqlite3_vfs` between its fifth one and xSetSystemCall: pAppData, twelve methods, xCurrentTimeInt64."""


class _Vfs(ctypes.Structure):
    _fields_ = (
        ("version", ctypes.c_int),
        ("file_size", ctypes.c_int),
        ("path_size", ctypes.c_int),
        ("next", ctypes.c_void_p),
        ("name", ctypes.c_char_p),
        ("between", ctypes.c_void_p * _READS),
        ("set_call", ctypes.CFUNCTYPE(ctypes.c_int, ctypes.c_void_p, ctypes.c_char_p, ctypes.c_void_p)),
        ("get_call", ctypes.CFUNCTYPE(ctypes.c_void_p, ctypes.c_void_p, ctypes.c_char_p)),
    )


_LONG = ctypes.c_longlong
_WRITES: dict[bytes, tuple[Any, ...]] = {
    b"pwrite": (_LONG, ctypes.c_int, ctypes.c_void_p, ctypes.c_size_t, _LONG),
    b"pwrite64": (_LONG, ctypes.c_int, ctypes.c_void_p, ctypes.c_size_t, _LONG),
    b"write": (_LONG, ctypes.c_int, ctypes.c_void_p, ctypes.c_size_t),
    b"ftruncate": (ctypes.c_int, ctypes.c_int, _LONG),
    b"unlink": (ctypes.c_int, ctypes.c_char_p),
    b"open": (ctypes.c_int, ctypes.c_char_p, ctypes.c_int, ctypes.c_int),
}
_KEPT: list[Any] = []


def can_fail() -> bool:
    """Whether this SQLite's calls can be replaced: it must be one that Python does not hide within itself."""
    return os.name == "posix" and _library() is not None


def kill_at(number: int) -> Callable[[], int]:
    """Let this process be killed at that point; returns a function that tells how many points have passed."""
    points = 0

    def point(_: int) -> bool:
        nonlocal points
        points += 1
        if points == number:
            os.kill(os.getpid(), signal.SIGKILL)
        return False

    _hook(point)
    return lambda: points


def full_from(number: int) -> Callable[[], int]:
    """Let the disk be full from that point on, but for removing; returns as `kill_at` does."""
    points = 0

    def point(_: int) -> bool:
        nonlocal points
        points += 1
        return points >= number

    _hook(point, errno.ENOSPC)
    return lambda: points


def read_only() -> None:
    """Let the disk be one that cannot be written."""
    _hook(lambda _: True, errno.EROFS)


def _hook(point: Callable[[int], bool], error: int = 0) -> None:
    """Call `point` before every write; where it says so, let the write fail with `error`."""
    library = _library()
    assert library is not None, "ask can_fail first"
    library.sqlite3_vfs_find.restype = ctypes.POINTER(_Vfs)
    vfs = library.sqlite3_vfs_find(None)
    for name, (result, *arguments) in _WRITES.items():
        pointer = vfs.contents.get_call(vfs, name)
        if pointer:
            kind = ctypes.CFUNCTYPE(result, *arguments, use_errno=True)
            replaced = kind(_failing(kind(pointer), name, point, error))
            _KEPT.append(replaced)
            assert vfs.contents.set_call(vfs, name, ctypes.cast(replaced, ctypes.c_void_p)) == 0
    sys.addaudithook(_audit(point, error))


def _failing(real: Any, name: bytes, point: Callable[[int], bool], error: int) -> Callable[..., int]:
    def call(*arguments: Any) -> int:
        is_reading = name == b"open" and not arguments[1] & (os.O_RDWR | os.O_WRONLY | os.O_CREAT)
        is_removal = name == b"unlink" and error == errno.ENOSPC
        if not is_reading and point(0) and not is_removal:
            ctypes.set_errno(error)
            return -1
        ctypes.set_errno(0)
        return int(real(*arguments))

    return call


def _audit(point: Callable[[int], bool], error: int) -> Callable[[str, tuple[Any, ...]], None]:
    def hook(event: str, arguments: tuple[Any, ...]) -> None:
        writes = event in ("os.rename", "os.mkdir") or (
            event == "open"
            and isinstance(arguments[2], int)
            and arguments[2] & (os.O_WRONLY | os.O_RDWR | os.O_CREAT)
        )
        if writes and point(0):
            raise OSError(error, os.strerror(error))

    return hook


def _library() -> Any:
    try:
        import _sqlite3

        library = ctypes.CDLL(_sqlite3.__file__)
        library.sqlite3_vfs_find  # noqa: B018
    except (AttributeError, OSError):  # built into the interpreter
        return None
    return library
