"""What may go wrong with the records, apart from the database, so that a page can ask for it before one is loaded."""


class RecordsError(Exception):
    """The records cannot be reached; the message says what to do."""


class TakenError(Exception):
    """Somebody else has written the same place meanwhile; the message says to look and try again."""
