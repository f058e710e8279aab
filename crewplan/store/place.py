"""Where a branch's database is: a file in its folder, or a server's address."""

from dataclasses import dataclass
from pathlib import Path

FILE = "crewplan.db"
_URL = "://"
_POSTGRESQL = ("postgresql://", "postgres://")


@dataclass(frozen=True, slots=True)
class Place:
    """One database."""

    url: str
    """As SQLAlchemy takes it."""
    file: Path | None
    """The SQLite file; None: a server."""
    called: str = ""
    """The name that somebody knows it by, where the file is a passing copy."""

    @property
    def name(self) -> str:
        """As sentences name it: never with a password."""
        if self.file is not None:
            return self.called or str(self.file)
        scheme, _, rest = self.url.partition(_URL)
        return f"{scheme.partition('+')[0]}{_URL}{rest.rpartition('@')[2]}"


def is_url(source: str | Path) -> bool:
    """Whether a source is the address of a database."""
    return _URL in str(source)


def place_of(source: str | Path) -> Place:
    """The database of a folder (or of the folder that a workbook is in), or of an address."""
    if not is_url(source):
        folder = Path(source)
        file = (folder.parent if folder.suffix.lower() == ".xlsx" else folder) / FILE
        return Place(f"sqlite:///{file}", file)
    text = str(source)
    for scheme in _POSTGRESQL:
        if text.startswith(scheme):
            return Place("postgresql+psycopg://" + text.removeprefix(scheme), None)
    if text.startswith("sqlite:///"):
        return Place(text, Path(text.removeprefix("sqlite:///")))
    return Place(text, None)


def has_database(source: str | Path) -> bool:
    """Whether a source is an address, or a folder with a database in it."""
    if is_url(source):
        return True
    file = place_of(source).file
    try:
        return file is not None and file.is_file()
    except OSError:  # a folder that may not be entered: intake says so
        return False
