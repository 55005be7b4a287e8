"""Only the recorder and one module more write files: what all the others do goes through their guard."""

import ast
from collections.abc import Iterator
from pathlib import Path
from typing import Final

import pytest

PACKAGE: Final = Path(__file__).parents[1] / "console" / "alongside"
MAY_WRITE: Final = ("record/", "feeds/logwriter.py", "feeds/kept_files.py", "reports/output_files.py")
"""The recorder, the writer of its feed logs, what may be deleted at any time, and what commands are asked to
write."""
OF_PATHS: Final = frozenset(
    ("write_text", "write_bytes", "touch", "unlink", "rename", "mkdir", "rmdir", "symlink_to", "hardlink_to",
     "chmod")
)  # fmt: skip
OF_OS: Final = frozenset(
    ("open", "fdopen", "replace", "rename", "renames", "remove", "unlink", "mkdir", "makedirs", "rmdir",
     "truncate", "ftruncate", "link", "symlink", "mknod", "mkfifo", "chmod")
)  # fmt: skip
MODULES: Final = frozenset({"shutil", "tempfile", "zipfile", "tarfile", "shelve", "dbm", "sqlite3"})
READ_ONLY: Final = frozenset({"get_terminal_size", "disk_usage", "which"})
SAVERS: Final = frozenset({"savefig", "save", "savez", "savez_compressed", "savetxt", "tofile", "memmap"})


def writers(tree: ast.AST) -> Iterator[str]:
    """What in a source may write a file, with its line; too much rather than too little."""
    for node in ast.walk(tree):
        if not isinstance(node, ast.Call):
            continue
        call = node.func
        name = call.attr if isinstance(call, ast.Attribute) else call.id if isinstance(call, ast.Name) else ""
        of = call.value.id if isinstance(call, ast.Attribute) and isinstance(call.value, ast.Name) else ""
        if _writes(node, name, of):
            yield f"{node.lineno}: {of}.{name}"


def _writes(node: ast.Call, name: str, of: str) -> bool:
    if of == "os":
        return name in OF_OS and not (node.args and ast.unparse(node.args[0]) == "os.devnull")
    if of in MODULES:
        return name not in READ_ONLY
    if name in ("GzipFile", "BZ2File", "LZMAFile"):
        return not any(keyword.arg == "fileobj" for keyword in node.keywords)
    if name in ("FileIO", "FileHandler", "LogWriter", *SAVERS):
        return True
    if name == "open":
        return not _only_reads(
            node, builtin=isinstance(node.func, ast.Name) or of in ("io", "codecs", "gzip")
        )
    if name == "replace" and isinstance(node.func, ast.Attribute):
        return len(node.args) == 1 and not node.keywords  # of a path; a text has two arguments
    return name in OF_PATHS


def _only_reads(node: ast.Call, builtin: bool) -> bool:
    modes = node.args[1:2] if builtin else node.args[:1]
    modes += [keyword.value for keyword in node.keywords if keyword.arg == "mode"]
    texts = [part.value for mode in modes for part in ast.walk(mode) if isinstance(part, ast.Constant)]
    if any(isinstance(text, str) and set(text) & set("wax+") for text in texts):
        return False
    named = any(not isinstance(mode, ast.Constant) for mode in modes)
    as_file = builtin or {"encoding", "buffering", "mode"} & {keyword.arg for keyword in node.keywords}
    return not (named and as_file)  # a form or a port that opens takes no mode


def sources() -> list[Path]:
    return sorted(PACKAGE.rglob("*.py"))


@pytest.mark.parametrize("path", sources(), ids=lambda path: str(path.relative_to(PACKAGE)))
def test_nothing_else_writes_files(path: Path) -> None:
    if path.relative_to(PACKAGE).as_posix().startswith(MAY_WRITE):
        return
    assert not list(writers(ast.parse(path.read_text(encoding="utf-8"))))


def test_those_that_may_are_seen() -> None:
    """The search finds what it looks for."""
    for place in MAY_WRITE:
        paths = [path for path in sources() if path.relative_to(PACKAGE).as_posix().startswith(place)]
        assert any(list(writers(ast.parse(path.read_text(encoding="utf-8")))) for path in paths), place


@pytest.mark.parametrize(
    "text",
    [
        "open(p, 'w')", "open(p, mode='ab')", "open(p, mode)", "p.open('w')", "p.open(mode='x')",
        "io.open(p, 'r+')",
        "p.write_text(t)", "p.write_bytes(t)", "p.replace(q)", "p.rename(q)", "p.unlink()",
        "os.replace(a, b)", "os.open(p, f)", "shutil.copy(a, b)", "tempfile.mkstemp()", "gzip.open(p, 'wb')",
        "GzipFile(p, 'wb')",
        "sqlite3.connect(p)", "figure.savefig(p)", "np.save(p, a)",
        "p.open('a' if b else 'w')", "p.open(mode, encoding='ascii')",
        "FileIO(p, 'w')", "p.mkdir()",
    ],
)  # fmt: skip
def test_each_way_to_write_is_seen(text: str) -> None:
    assert list(writers(ast.parse(text)))


@pytest.mark.parametrize(
    "text",
    ["open(p)", "open(p, 'rb')", "p.open('rb')", "p.read_text()", "t.replace('a', 'b')", "replace(a, b=1)",
     "shutil.disk_usage(p)", "GzipFile(fileobj=f, mode='wb')", "form.open(screen, view)"],
)  # fmt: skip
def test_reading_is_no_writing(text: str) -> None:
    assert not list(writers(ast.parse(text)))
