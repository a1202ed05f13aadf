"""What every store of records has in common: one database, a connection a call, and one sort of failure."""

from collections.abc import Iterator
from contextlib import contextmanager

from sqlalchemy import Connection, Engine, MetaData, create_engine, inspect
from sqlalchemy.exc import IntegrityError, SQLAlchemyError
from sqlalchemy.pool import NullPool

from estimator.records.errors import RecordsError, TakenError

__all__ = ["META", "Database", "RecordsError", "TakenError"]

META = MetaData()


class Database:
    """Opens tables. Every call has a connection of its own, so that two tabs do not share one."""

    def __init__(self, url: str) -> None:
        self.engine: Engine = create_engine(url, poolclass=NullPool)
        with self.connect() as connection:
            if set(META.tables) - set(inspect(connection).get_table_names()):
                _create_tables(connection)

    @contextmanager
    def connect(self, *, taken: str = "") -> Iterator[Connection]:
        """A transaction. Raises TakenError with the text of `taken` where a row is there already, else RecordsError."""
        try:
            with self.engine.begin() as connection:
                yield connection
        except IntegrityError as error:
            if taken:
                raise TakenError(taken) from error
            raise self._explain(error) from error
        except SQLAlchemyError as error:
            raise self._explain(error) from error

    def _explain(self, error: SQLAlchemyError) -> RecordsError:
        where = self.engine.url.render_as_string(hide_password=True)
        reason = str(error.__cause__ or error)
        return RecordsError(f"{where}: {reason}; expected a database that can be read and written")


def _create_tables(connection: Connection) -> None:
    """All tables that are missing, together: left to itself SQLite writes each of them to the disk on its own.

    Another program that creates them meanwhile is waited for.
    """
    if connection.dialect.name == "sqlite":
        connection.exec_driver_sql("BEGIN IMMEDIATE")
    META.create_all(connection)
