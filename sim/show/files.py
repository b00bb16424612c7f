"""Writing results: whole or not at all, and never over a file nobody agreed to lose."""

import os
from collections.abc import Iterable, Mapping
from contextlib import suppress
from itertools import count
from pathlib import Path


class OutputError(Exception):
    """A result cannot be written; the text says why and is meant for the user."""


def check_targets(paths: list[Path], force: bool = False) -> None:
    """Refuse targets before anything is computed.

    Raises
    ------
    OutputError
        For a file that exists (unless `force`), a target that is no plain file, a folder that is
        none or cannot be written to.

    """
    for path in paths:
        try:
            _check_target(path, force)
        except (OSError, ValueError) as wrong:  # a name no disk takes
            reason = getattr(wrong, "strerror", None) or str(wrong)
            raise OutputError(f"{_short(path)} cannot be written: {reason}") from None


def keep_sources(target: Path, sources: Iterable[Path]) -> None:
    """Refuse a target that the result was worked out from, agreed to or not.

    Raises
    ------
    OutputError
        When the target is one of the sources.

    """
    if target.resolve() in {source.resolve() for source in sources}:
        raise OutputError(f"{_short(target)} is what this was worked out from; choose another name")


def _check_target(path: Path, force: bool) -> None:
    if path.is_dir():
        raise OutputError(f"{path} is a folder; a file name is wanted")
    if path.exists() and not path.is_file():
        raise OutputError(f"{path} is not a plain file; it is left alone")
    if (path.exists() or path.is_symlink()) and not force:
        raise OutputError(f"{path} exists; choose another name or add --force to replace it")
    _check_folder(path.parent)


def _short(path: Path) -> str:
    text = str(path)
    return text if len(text) <= 80 else f"{text[:60]}..."


def _check_folder(folder: Path) -> None:
    """The folder, or the nearest one above it that exists, must take new files."""
    while not folder.exists() and folder != folder.parent:
        folder = folder.parent
    if not folder.is_dir():
        raise OutputError(f"{folder} is not a folder; nothing can be written into it")
    if not os.access(folder, os.W_OK | os.X_OK):
        raise OutputError(f"{folder} cannot be written to")


def write_all(contents: Mapping[Path, bytes], force: bool = False) -> None:
    """Write several files, each whole or not at all, making the last folder if needed.

    Everything goes into hidden files beside the targets first; only when all of it is on the
    disk do they take their names. A failure or an interruption leaves no part behind.

    Raises
    ------
    OutputError
        As `check_targets`, or when the disk refuses.

    """
    check_targets(list(contents), force)
    parts: dict[Path, Path] = {}
    try:
        for path, content in contents.items():
            path.parent.mkdir(parents=True, exist_ok=True)
            parts[path] = path.with_name(f".{path.stem[:40]}.{os.getpid()}-{len(parts)}.part")
            _write_new(parts[path], content)
        for path, part in parts.items():
            os.replace(part, path)
    except OSError as wrong:
        where = wrong.filename2 or wrong.filename or "the result"
        raise OutputError(f"{where} cannot be written: {wrong.strerror or wrong}") from None
    finally:
        for part in parts.values():
            with suppress(OSError):  # nothing of ours may be there at all
                part.unlink(missing_ok=True)


def write_text(path: Path, text: str, force: bool = False) -> None:
    """One text file in UTF-8 (see `write_all`)."""
    write_all({path: text.encode("utf-8")}, force)


def free_name(path: Path, word: str) -> Path:
    """A file beside another that does not exist yet: `jet.WORD.toml`, `jet.WORD-2.toml`, ..."""
    names = (f"{path.stem}.{word}{f'-{n}' if n > 1 else ''}{path.suffix}" for n in count(1))
    return next(found for name in names if not (found := path.with_name(name)).exists())


def _write_new(path: Path, content: bytes) -> None:
    with open(path, "xb") as file:
        file.write(content)
        file.flush()
        os.fsync(file.fileno())
