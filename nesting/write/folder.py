"""Puts the files of a plan into their folder: whole, or not at all."""

from __future__ import annotations

import shutil
import uuid
from collections.abc import Callable, Mapping
from pathlib import Path

from nesting.findings import OccupiedError, OutputError

SIGN = "plan.json"
"""A folder that holds this file is taken for an earlier plan, which a new one may replace."""


RECORD = "work.record"
"""The record of work on a plan; a folder that holds it keeps its plan."""


def refuse_occupied(out: Path) -> None:
    """See that a folder for results is free, or holds an earlier plan that is not worked by; raises OccupiedError."""
    out = out.resolve()
    if out.exists() and not (out / SIGN).is_file():
        raise OccupiedError(
            f"{out} exists and is not the folder of an earlier plan (it holds no {SIGN}), so it is left "
            "alone; move it away or name another folder."
        )
    if (out / RECORD).is_file():
        raise OccupiedError(
            f"work on the plan in {out} is recorded ({RECORD}), so it is not replaced: plan what is left with "
            "`steelyard replan`, or name another folder with --out."
        )


def write_folder(out: Path, files: Mapping[str, bytes], is_ours: Callable[[str], bool]) -> tuple[Path, ...]:
    """Write files into a folder of their own, which appears only when all of them are whole.

    Parameters
    ----------
    out
        The folder. An earlier plan there is replaced; what its user added to it is carried over.
    files
        Content by name; "/" in a name parts folder and file.
    is_ours
        Whether a plan's folder may hold a file of that name, or, of a name that ends in "/", such a folder; all else
        was added by the user.

    Returns
    -------
    tuple[Path, ...]
        The files, in the order given.

    Raises
    ------
    OccupiedError
        If something else stands there.
    OutputError
        If the disk refuses; what stood there before stands unchanged.
    """
    refuse_occupied(out)
    out = out.resolve()
    fresh = out.with_name(f".{out.name}.{uuid.uuid4().hex[:8]}.new")
    try:
        out.parent.mkdir(parents=True, exist_ok=True)
        fresh.mkdir()
        for name, content in files.items():
            (fresh / name).parent.mkdir(exist_ok=True)
            (fresh / name).write_bytes(content)
        _put_in_place(fresh, out, is_ours)
    except OSError as error:
        raise OutputError(
            f"the plan could not be written to {out}: {error.strerror or error}; close its files if they "
            "are open, see that there is room and that you may write there, and run it again."
        ) from error
    finally:
        shutil.rmtree(fresh, ignore_errors=True)
    return tuple(out / name for name in files)


def _put_in_place(fresh: Path, out: Path, is_ours: Callable[[str], bool]) -> None:
    """Let `fresh` take the place of `out`; if that fails, `out` stands as before."""
    if not out.exists():
        fresh.rename(out)
        return
    old = fresh.with_suffix(".old")
    out.rename(old)
    try:
        _carry_over(old, fresh, is_ours)
        fresh.rename(out)
    except BaseException:
        old.rename(out)
        raise
    shutil.rmtree(old, ignore_errors=True)


def _carry_over(old: Path, fresh: Path, is_ours: Callable[[str], bool], under: str = "") -> None:
    """Copy what a user added to an earlier plan, to its folders as well."""
    for path in (old / under).iterdir():
        name = under + path.name
        if path.is_dir() and is_ours(f"{name}/"):
            _carry_over(old, fresh, is_ours, f"{name}/")
        elif not is_ours(name):
            (fresh / under).mkdir(exist_ok=True)
            _copy(path, fresh / name)


def _copy(source: Path, target: Path) -> None:
    if source.is_dir() and not source.is_symlink():
        shutil.copytree(source, target, symlinks=True)
    else:
        shutil.copy2(source, target, follow_symlinks=False)
